// Formulas as they are written on a page.
#include "tests/chemistry/standard_tables.h"

#include <gtest/gtest.h>

namespace fettle {
namespace {

double atoms(std::string_view formula, std::string_view symbol) {
    const auto& elements = standard_tables().elements;
    for (std::size_t i = 0; i < elements.size(); ++i) {
        if (elements[i].symbol == symbol)
            return atoms_of(formula)[i];
    }
    return -1;
}

FormulaProblem problem_of(std::string_view formula) {
    const auto read = parse_formula(standard_tables(), formula);
    const auto* problem = std::get_if<FormulaProblem>(&read);
    EXPECT_NE(problem, nullptr) << formula;
    return problem == nullptr ? FormulaProblem{} : *problem;
}

TEST(Formula, the_tables_are_good) {
    EXPECT_EQ(standard_chemistry().spoilt_by(), "");
    EXPECT_EQ(standard_tables().sets.size(), most_sets);
    EXPECT_GT(standard_tables().gases.size(), 25u);
}

TEST(Formula, elements_subscripts_brackets) {
    EXPECT_EQ(atoms("KAlSi3O8", "Si"), 3);
    EXPECT_EQ(atoms("KAlSi3O8", "O"), 8);
    EXPECT_EQ(atoms("Al2Si2O5(OH)4", "O"), 9);
    EXPECT_EQ(atoms("Al2Si2O5(OH)4", "H"), 4);
    EXPECT_EQ(atoms("Mg5(CO3)4(OH)2·4H2O", "O"), 18);
    EXPECT_EQ(atoms("Ca[Mg(CO3)2]", "C"), 2);
    EXPECT_DOUBLE_EQ(atoms("Na0.33Al1.67Mg0.33Si4O10(OH)2*4H2O", "Al"), 1.67);
    EXPECT_DOUBLE_EQ(atoms("Na0.33Al1.67Mg0.33Si4O10(OH)2*4H2O", "H"), 10);
}

TEST(Formula, the_point_of_a_hydrate) {
    for (std::string_view gypsum : {"CaSO4·2H2O", "CaSO4.2H2O", "CaSO4*2H2O", "CaSO4 · 2H2O"}) {
        EXPECT_EQ(atoms(gypsum, "O"), 6) << gypsum;
        EXPECT_EQ(atoms(gypsum, "H"), 4) << gypsum;
    }
    EXPECT_EQ(atoms("K2O.Al2O3.6SiO2", "Si"), 6);
    EXPECT_EQ(atoms("K2O.Al2O3.6SiO2", "O"), 16);
    EXPECT_EQ(atoms("2CaO.3B2O3.5H2O", "B"), 6);
    EXPECT_DOUBLE_EQ(atoms("Al1.5MgO4", "Al"), 1.5);
    EXPECT_DOUBLE_EQ(atoms("Fe0.5MgO", "Fe"), 0.5); // no formula has a subscript of nothing
}

TEST(Formula, what_is_wrong_and_where) {
    using Kind = FormulaProblem::Kind;
    EXPECT_EQ(problem_of("").kind, Kind::empty);
    EXPECT_EQ(problem_of("  ").kind, Kind::empty);
    const FormulaProblem element = problem_of("KAlSj3O8");
    EXPECT_EQ(element.kind, Kind::unknown_element);
    EXPECT_EQ(element.text, "Sj");
    EXPECT_EQ(element.begin, 3u);
    EXPECT_EQ(problem_of("Al2Si2O5(OH4").kind, Kind::unclosed_bracket);
    EXPECT_EQ(problem_of("Al2Si2O5OH)4").kind, Kind::stray_bracket);
    EXPECT_EQ(problem_of("Al0O3").kind, Kind::bad_number);
    EXPECT_EQ(problem_of("Al99999O3").kind, Kind::bad_number);
    EXPECT_EQ(problem_of("CaCO3·").kind, Kind::unexpected);
    EXPECT_EQ(problem_of("CaCO3 + SiO2").text, "+");
    EXPECT_EQ(problem_of("whiting").kind, Kind::unexpected);
    EXPECT_EQ(problem_of("(OH]2").kind, Kind::unexpected);
    EXPECT_EQ(problem_of("((((((((((H))))))))))").kind, Kind::unexpected);
}

TEST(Fired, gas_and_oxides_are_the_whole) {
    for (std::string_view formula :
         {"KAlSi3O8", "Al2Si2O5(OH)4", "CaSO4·2H2O", "Fe3O4", "MnO2", "FeTiO3", "FeS2", "CaF2",
          "K2Li3Al5Si6O20F4", "Na3AlF6", "Pb3(CO3)2(OH)2", "FeCO3", "Cu2O", "NaCl"}) {
        const FiredFormula all = fired(formula);
        double sum = all.loss;
        for (double share : all.share)
            sum += share;
        EXPECT_NEAR(sum, 1, 1e-12) << formula;
    }
}

TEST(Fired, iron_keeps_the_oxygen_that_it_has) {
    EXPECT_GT(in(fired("FeTiO3").share, "FeO"), 0.4);
    EXPECT_GT(in(fired("FeCO3").share, "FeO"), 0.6);
    EXPECT_EQ(in(fired("Fe3O4").share, "FeO"), 0);
    EXPECT_LT(fired("Fe3O4").loss, 0); // it takes up oxygen
    EXPECT_GT(in(fired("Cu2O").share, "Cu2O"), 0.99);
}

TEST(Fired, sulphur_leaves_as_it_can) {
    const auto sulphur = static_cast<std::size_t>(Gas::sulphur_oxides);
    EXPECT_NEAR(fired("CaSO4").gas[sulphur], 80.057 / 136.134, 1e-5);
    EXPECT_NEAR(fired("FeS2").gas[sulphur], 2 * 64.058 / 119.965, 1e-5);
}

} // namespace
} // namespace fettle
