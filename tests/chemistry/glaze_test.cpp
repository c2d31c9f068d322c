// From recipes to glazes: what is known, what is not, and when gas leaves.
#include "tests/chemistry/standard_tables.h"

#include <gtest/gtest.h>

namespace fettle {
namespace {

const double not_known = std::nan("");

TEST(Glaze, parts_need_not_come_to_a_hundred) {
    const auto by = [](double times) {
        return Mix()
            .add("KAlSi3O8", 40 * times)
            .add("SiO2", 30 * times)
            .add("CaCO3", 20 * times)
            .add("Al2Si2O5(OH)4", 10 * times)
            .analysed();
    };
    const GlazeChemistry a = by(1), b = by(0.07);
    EXPECT_NEAR(a.parts, 100, 1e-12);
    EXPECT_NEAR(b.parts, 7, 1e-12);
    EXPECT_NEAR(in(a.unity, "SiO2"), in(b.unity, "SiO2"), 1e-12);
    EXPECT_NEAR(a.loss, b.loss, 1e-12);
}

TEST(Glaze, fluxes_sum_to_one) {
    const GlazeChemistry glaze =
        Mix().add("KAlSi3O8", 3).add("ZnO", 1).add("BaCO3", 1).add("Na2CO3", 1).analysed();
    double sum = 0;
    for (std::size_t i = 0; i < standard_tables().oxides.size(); ++i) {
        if (is_flux(standard_tables().oxides[i].role))
            sum += glaze.unity[i];
    }
    EXPECT_NEAR(sum, 1, 1e-12);
    EXPECT_NEAR(glaze.alkali_share, in(glaze.unity, "Na2O") + in(glaze.unity, "K2O"), 1e-12);
}

TEST(Glaze, no_flux_no_unity) {
    const GlazeChemistry glaze = Mix().add("SiO2", 1).add("Al2O3", 1).analysed();
    EXPECT_FALSE(glaze.has_flux);
    EXPECT_EQ(in(glaze.unity, "SiO2"), 0);
}

TEST(Glaze, without_alumina_no_ratio) {
    EXPECT_TRUE(std::isnan(Mix().add("SiO2", 1).add("ZnO", 1).analysed().silica_per_alumina));
}

TEST(Glaze, gas_that_leaves_late) {
    const GlazeChemistry glaze = Mix().add("CaCO3", 30).add("Al2Si2O5(OH)4", 70).analysed();
    EXPECT_NEAR(glaze.late_loss, 0.3 * 0.43971, 1e-5); // the water of the clay is gone by 650C
    EXPECT_EQ(glaze.gas_from_c, 600);
    EXPECT_EQ(glaze.gas_until_c, 900);
    const GlazeChemistry clay = Mix().add("Al2Si2O5(OH)4", 70).add("ZnO", 10).analysed();
    EXPECT_EQ(clay.late_loss, 0);
    EXPECT_TRUE(std::isnan(clay.gas_until_c));
}

TEST(Glaze, minerals_whose_temperatures_are_those_of_the_pure_one) {
    const GlazeChemistry glaze = Mix().add("BaCO3", 30).add("KAlSi3O8", 70).analysed();
    EXPECT_TRUE(std::isnan(glaze.gas_until_c));
    EXPECT_EQ(glaze.without_range, 0);
    EXPECT_NEAR(glaze.carbon_dioxide, 0.3 * 0.22301, 1e-5);
}

TEST(Glaze, releases_in_the_order_of_temperature) {
    const Mix mix = Mix().add("CaCO3", 20).add("Na2B4O7·10H2O", 20).add("Mg3Si4O10(OH)2", 60);
    const auto portions = mix.portions();
    const auto releases = gas_releases(portions);
    ASSERT_EQ(releases.size(), 3u);
    EXPECT_EQ(releases[0].portion, 1u);
    EXPECT_EQ(releases[1].portion, 0u);
    EXPECT_EQ(releases[2].portion, 2u);
    EXPECT_NEAR(releases[2].step.share, 0.6 * 0.0475, 1e-4);
}

TEST(Material, an_analysis_with_the_gas_of_its_mineral) {
    const auto& tables = standard_tables();
    const MaterialChemistry kaolin = material_of_formula(tables, atoms_of("Al2Si2O5(OH)4"));
    PerOxide share{};
    EXPECT_TRUE(add_to_analysis(tables, "SiO2", 0.47, share));
    EXPECT_TRUE(add_to_analysis(tables, "Al2O3", 0.38, share));
    EXPECT_FALSE(add_to_analysis(tables, "SiO3", 0.38, share));
    const MaterialChemistry clay = material_of_analysis(tables, share, 0.13, &kaolin);
    EXPECT_NEAR(clay.unaccounted, 0.02, 1e-12);
    ASSERT_EQ(clay.gases.size(), 1u);
    EXPECT_EQ(clay.gases[0].gas, Gas::water);
    EXPECT_EQ(clay.gases[0].to_c, 650);
    EXPECT_NEAR(clay.gases[0].share, 0.13, 1e-12);
}

TEST(Material, a_loss_that_nobody_told) {
    const auto& tables = standard_tables();
    PerOxide share{};
    add_to_analysis(tables, "SiO2", 0.6, share);
    EXPECT_TRUE(std::isnan(material_of_analysis(tables, share, not_known, nullptr).loss));
    add_to_analysis(tables, "K2O", 0.395, share);
    EXPECT_EQ(material_of_analysis(tables, share, not_known, nullptr).loss, 0);
    const MaterialChemistry other = material_of_analysis(tables, share, 0.01, nullptr);
    ASSERT_EQ(other.gases.size(), 1u);
    EXPECT_EQ(other.gases[0].gas, Gas::unknown);
}

TEST(Material, other_forms_of_an_oxide_count_as_the_usual_one) {
    PerOxide share{};
    EXPECT_TRUE(add_to_analysis(standard_tables(), "MnO2", 1, share));
    EXPECT_NEAR(in(share, "MnO"), 0.81597, 1e-5);
    share = {};
    EXPECT_TRUE(add_to_analysis(standard_tables(), "Fe3O4", 1, share));
    EXPECT_NEAR(in(share, "Fe2O3"), 1.03455, 1e-5);
}

TEST(Expansion, a_set_that_covers_too_little_does_not_count) {
    const GlazeChemistry glaze = Mix().add("Na2CO3", 20).add("SiO2", 60).add("V2O5", 20).analysed();
    for (std::size_t i = 0; i < most_sets; ++i)
        EXPECT_FALSE(glaze.expansion[i].usable()) << standard_tables().sets[i].name;
}

TEST(Expansion, much_boron_is_past_the_range_of_some) {
    const GlazeChemistry glaze =
        Mix().add("H3BO3", 40).add("CaCO3", 20).add("Al2Si2O5(OH)4", 20).add("SiO2", 20).analysed();
    EXPECT_TRUE(glaze.expansion[0].stretched); // Appen: too little for boron to build on
    EXPECT_TRUE(glaze.expansion[1].stretched); // English & Turner: over 12 %
    EXPECT_FALSE(glaze.expansion[2].stretched);
}

} // namespace
} // namespace fettle
