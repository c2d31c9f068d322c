// Working backwards: from a unity formula to a recipe, and there again.
#include "compiler/chemistry/least_squares.h"
#include "compiler/chemistry/remake.h"
#include "tests/chemistry/standard_tables.h"

#include <gtest/gtest.h>

namespace fettle {
namespace {

PerOxide unity(std::string_view text) {
    const auto read = read_unity(standard_tables(), text);
    const auto* found = std::get_if<UnityText>(&read);
    return found == nullptr ? PerOxide{} : found->moles;
}

struct Shelf {
    explicit Shelf(std::initializer_list<std::string_view> formulas) {
        for (std::string_view formula : formulas)
            materials.push_back(material_of_formula(standard_tables(), atoms_of(formula)));
        for (const MaterialChemistry& material : materials)
            pointers.push_back(&material);
    }
    Remade make(const PerOxide& wanted) const {
        return remake(standard_tables(), wanted, pointers);
    }
    std::vector<MaterialChemistry> materials;
    std::vector<const MaterialChemistry*> pointers;
};

TEST(Remake, reads_a_unity_formula) {
    EXPECT_EQ(in(unity("0.3 K2O 0.7 CaO 0.5 Al2O3 4 SiO2"), "Al2O3"), 0.5);
    EXPECT_EQ(in(unity("0.3K2O, 0.7CaO; 4SiO2"), "CaO"), 0.7);
    const auto wrong = [](std::string_view text) {
        const auto read = read_unity(standard_tables(), text);
        const auto* problem = std::get_if<UnityTextProblem>(&read);
        return problem == nullptr ? std::string() : problem->message;
    };
    EXPECT_EQ(wrong("0.3 K2O 0.7 CaX"), "`CaX` is no oxide");
    EXPECT_NE(wrong("K2O 0.3"), "");
    EXPECT_NE(wrong("0.3 K2O -0.7 CaO"), "");
    EXPECT_NE(wrong("4 SiO2"), "");
    EXPECT_NE(wrong("0.3 K2O 0.7"), "");
}

TEST(Remake, a_recipe_and_back) {
    const Mix mix =
        Mix().add("KAlSi3O8", 40).add("SiO2", 30).add("CaCO3", 20).add("Al2Si2O5(OH)4", 10);
    const Remade again =
        Shelf({"KAlSi3O8", "SiO2", "CaCO3", "Al2Si2O5(OH)4"}).make(mix.analysed().unity);
    EXPECT_TRUE(again.exact);
    EXPECT_NEAR(again.parts[0], 40, 1e-9);
    EXPECT_NEAR(again.parts[1], 30, 1e-9);
    EXPECT_NEAR(again.parts[2], 20, 1e-9);
    EXPECT_NEAR(again.parts[3], 10, 1e-9);
}

TEST(Remake, other_materials_for_the_same_formula) {
    // Lime from wollastonite in place of whiting.
    const PerOxide wanted = unity("0.3 K2O 0.7 CaO 0.5 Al2O3 4 SiO2");
    const Remade other = Shelf({"KAlSi3O8", "CaSiO3", "Al2Si2O5(OH)4", "SiO2"}).make(wanted);
    EXPECT_TRUE(other.exact);
    EXPECT_NEAR(other.rest, 0, 1e-9);
    double sum = 0;
    for (double parts : other.parts)
        sum += parts;
    EXPECT_NEAR(sum, 100, 1e-9);
}

TEST(Remake, what_is_left_over) {
    // No potash on the shelf.
    const PerOxide wanted = unity("0.3 K2O 0.7 CaO 0.5 Al2O3 4 SiO2");
    const Remade other = Shelf({"NaAlSi3O8", "CaCO3", "Al2Si2O5(OH)4", "SiO2"}).make(wanted);
    EXPECT_TRUE(other.possible);
    EXPECT_FALSE(other.exact);
    EXPECT_EQ(in(other.made, "K2O"), 0);
    EXPECT_GT(other.rest, 0.3);
}

TEST(Remake, nothing_that_melts) {
    EXPECT_FALSE(Shelf({"SiO2", "Al2O3"}).make(unity("1 CaO 4 SiO2")).possible);
}

TEST(Remake, more_materials_than_oxides) {
    const PerOxide wanted = unity("0.3 K2O 0.7 CaO 0.5 Al2O3 4 SiO2");
    const Remade made = Shelf({"KAlSi3O8", "KAlSi2O6", "CaCO3", "CaSiO3", "Al2Si2O5(OH)4",
                               "Al2Si2O7", "Al2O3", "SiO2", "CaAl2Si2O8"})
                            .make(wanted);
    EXPECT_TRUE(made.exact);
    for (double parts : made.parts)
        EXPECT_GE(parts, 0);
}

TEST(LeastSquares, the_same_column_twice) {
    Matrix a(2, 2);
    a.at(0, 0) = a.at(0, 1) = 1;
    a.at(1, 0) = a.at(1, 1) = 2;
    const NonNegativeSolution solution = solve_non_negative(a, {3, 6});
    EXPECT_TRUE(solution.finished);
    EXPECT_NEAR(solution.amounts[0] + solution.amounts[1], 3, 1e-12);
    EXPECT_NEAR(solution.rest, 0, 1e-12);
}

TEST(LeastSquares, nothing_that_helps) {
    Matrix a(2, 1);
    a.at(0, 0) = 1;
    const NonNegativeSolution solution = solve_non_negative(a, {-3, 4});
    EXPECT_EQ(solution.amounts[0], 0);
    EXPECT_NEAR(solution.rest, 5, 1e-12);
}

} // namespace
} // namespace fettle
