#include "compiler/ceramics/ware.h"

#include <cmath>
#include <gtest/gtest.h>

namespace fettle {
namespace {

TEST(Water, PressureAndTemperatureAreInverse) {
    for (double t = 1; t < 370; t += 3.7)
        EXPECT_NEAR(saturation_temperature_c(saturation_pressure_pa(t)), t, 1e-6);
}

TEST(Water, BoilsColderHigherUp) {
    double before = 1000;
    for (double h = -1500; h < 10000; h += 125) {
        EXPECT_LT(boiling_point_c(h), before);
        before = boiling_point_c(h);
    }
    EXPECT_EQ(boiling_point_c(50000), boiling_point_c(11000));
    EXPECT_TRUE(std::isfinite(boiling_point_c(-1e9)));
}

TEST(Water, SteamPressesOnlyAboveTheBoilingPoint) {
    EXPECT_EQ(steam_overpressure_pa(95, 0), 0);
    EXPECT_NEAR(steam_overpressure_pa(boiling_point_c(1500), 1500), 0, 1);
    EXPECT_GT(steam_overpressure_pa(150, 0), 3e5);
    EXPECT_GT(steam_overpressure_pa(150, 2000), steam_overpressure_pa(150, 0));
    EXPECT_TRUE(std::isfinite(steam_overpressure_pa(900, 0)));
}

TEST(CoreLag, GrowsWithRateAndSquareOfThickness) {
    const double a = 4e-7;
    const double lag = core_lag_k(0.02, 150, a);
    EXPECT_DOUBLE_EQ(core_lag_k(0.02, 300, a), 2 * lag);
    EXPECT_DOUBLE_EQ(core_lag_k(0.04, 150, a), 4 * lag);
    EXPECT_DOUBLE_EQ(core_lag_k(0.02, -150, a), -lag);
    EXPECT_NEAR(rate_for_core_lag(0.02, lag, a), 150, 1e-9);
    EXPECT_NEAR(
        rate_for_core_lag(0.02, core_lag_k(0.02, 80, a, WareShape::ball), a, WareShape::ball), 80,
        1e-9);
    EXPECT_GT(lag, core_lag_k(0.02, 150, a, WareShape::rod));
    EXPECT_GT(core_lag_k(0.02, 150, a, WareShape::rod), core_lag_k(0.02, 150, a, WareShape::ball));
}

TEST(CoreLag, OfABody) {
    // 0.7 W/(m·K), 1800 kg/m³, 950 J/(kg·K)
    EXPECT_NEAR(diffusivity(0.7, 1800, 950), 4.0936e-7, 1e-11);
}

TEST(Stress, HeatingPressesTheSurfaceAndPullsTheMiddle) {
    const WareStress heating = stress_of_lag(5, 6e-6, 20e9, 0.2);
    EXPECT_LT(heating.surface_pa, 0);
    EXPECT_GT(heating.middle_pa, 0);
    const WareStress cooling = stress_of_lag(-5, 6e-6, 20e9, 0.2);
    EXPECT_DOUBLE_EQ(cooling.surface_pa, -heating.surface_pa);
    EXPECT_DOUBLE_EQ(greatest_tension_pa(heating), heating.middle_pa);
    EXPECT_DOUBLE_EQ(greatest_tension_pa(cooling), cooling.surface_pa);
    // The profile holds itself in balance: 2/3 at the surface against 1/3 in the middle.
    EXPECT_DOUBLE_EQ(heating.surface_pa, -2 * heating.middle_pa);
}

TEST(Inversion, AddsItsStrainOverTheLag) {
    constexpr Inversion quartz{.temperature_c = 573, .strain = 0.0045, .spread_k = 10};
    EXPECT_DOUBLE_EQ(inversion_strain(5, quartz, 0.3), 0.0045 * 0.3 / 2);
    EXPECT_DOUBLE_EQ(inversion_strain(50, quartz, 0.3), 0.0045 * 0.3);
    EXPECT_DOUBLE_EQ(inversion_strain(-5, quartz, 0.3), -0.0045 * 0.3 / 2);
    EXPECT_EQ(inversion_strain(0, quartz, 0.3), 0);
    const double extra = inversion_strain(5, quartz, 0.3);
    const WareStress without = stress_of_lag(5, 6e-6, 20e9, 0.2);
    const WareStress with = stress_of_lag(5, 6e-6, 20e9, 0.2, extra);
    EXPECT_NEAR(with.middle_pa - without.middle_pa, 20e9 * extra / 0.8 / 3, 1);
}

} // namespace
} // namespace fettle
