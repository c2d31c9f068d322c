// Water and ware against IAPWS-IF97 through the package python3-iapws (data/boiling_altitude.csv,
// data/steam_check.csv) and Carslaw & Jaeger (data/ware.csv, and their series here).
#include "compiler/ceramics/ware.h"
#include "tests/published/figures.h"

#include <cmath>
#include <gtest/gtest.h>
#include <numbers>

namespace fettle {
namespace {

TEST(PublishedWater, BoilingPointByAltitude) {
    const Figures figures("boiling_altitude.csv");
    ASSERT_EQ(figures.rows().size(), 17u);
    for (const auto& row : figures.rows()) {
        const double h = Figures::number(row, "geopotential_altitude_m");
        EXPECT_NEAR(standard_pressure_pa(h), Figures::number(row, "pressure_pa"), 0.0501) << h;
        EXPECT_NEAR(boiling_point_c(h), Figures::number(row, "boiling_c"), 0.000501) << h;
    }
}

TEST(PublishedWater, SaturationLine) {
    int checked = 0;
    const Figures figures("steam_check.csv");
    for (const auto& row : figures.rows()) {
        const double input = std::strtod(row.at("input").c_str(), nullptr);
        const double value = Figures::number(row, "value");
        const bool in_kelvin = row.at("input").ends_with(" K");
        if (row.at("quantity") == "saturation pressure") {
            const double scale = row.at("unit") == "MPa" ? 1e6 : 1e3;
            const double t = in_kelvin ? input - 273.15 : input;
            EXPECT_NEAR(saturation_pressure_pa(t) / (value * scale), 1, 3e-5) << t;
            if (in_kelvin) {
                EXPECT_NEAR(saturation_pressure_pa(t) / (value * scale), 1, 3e-9) << t;
            }
            ++checked;
        } else if (row.at("quantity") == "saturation temperature") {
            EXPECT_NEAR(saturation_temperature_c(input * 1e6) + 273.15, value, 1e-6);
            ++checked;
        } else if (row.at("quantity") == "boiling point") {
            EXPECT_NEAR(saturation_temperature_c(input), value, 1e-4);
            ++checked;
        }
    }
    EXPECT_EQ(checked, 18);
}

// --- a slab whose faces climb steadily: Carslaw & Jaeger 3.4
// ------------------------------------------

// Temperature of the middle at time t, faces at rate·t, from the series.
double middle_by_series(double thickness, double rate_k_per_h, double a, double t) {
    constexpr double pi = std::numbers::pi;
    const double half = thickness / 2, rate = rate_k_per_h / 3600;
    double sum = 0;
    for (int n = 0; n < 200; ++n) {
        const double odd = 2 * n + 1;
        const double decay = std::exp(-odd * odd * pi * pi * a * t / (4 * half * half));
        sum += (n % 2 ? -1 : 1) / (odd * odd * odd) * decay;
    }
    const double settled = rate * half * half / (2 * a);
    return rate * t - settled + settled * 32 / (pi * pi * pi) * sum;
}

TEST(PublishedWare, SeriesMeetsItsFigures) {
    int checked = 0;
    const Figures figures("ware.csv");
    for (const auto& row : figures.rows()) {
        if (row.at("quantity") != "T_centre (surface = r t)")
            continue;
        const double middle =
            middle_by_series(Figures::parameter(row, "L"), Figures::parameter(row, "rate_c_per_h"),
                             Figures::parameter(row, "alpha"), Figures::parameter(row, "t"));
        EXPECT_NEAR(middle, Figures::number(row, "value"), 1e-7);
        ++checked;
    }
    EXPECT_EQ(checked, 27);
}

TEST(PublishedWare, LagIsWhatTheSeriesSettlesTo) {
    int checked = 0;
    const Figures figures("ware.csv");
    for (const auto& row : figures.rows()) {
        if (row.at("quantity").find("quasi_steady_centre_lag") == std::string::npos)
            continue;
        const double rate = Figures::parameter(row, "rate_c_per_h");
        const double a = Figures::parameter(row, "alpha");
        const std::string& form = row.at("problem");
        const WareShape shape = form == "slab_ramp"       ? WareShape::wall
                                : form == "cylinder_ramp" ? WareShape::rod
                                                          : WareShape::ball;
        const double thickness = shape == WareShape::wall ? Figures::parameter(row, "L")
                                                          : 2 * Figures::parameter(row, "R");
        const double lag = core_lag_k(thickness, rate, a, shape);
        EXPECT_NEAR(lag / Figures::number(row, "value"), 1, 1e-9);
        ++checked;
        if (shape != WareShape::wall)
            continue;
        const double late = 40 * lag_settling_time_s(thickness, a);
        EXPECT_NEAR(rate / 3600 * late - middle_by_series(thickness, rate, a, late), lag, 1e-9);
        const double settling = lag_settling_time_s(thickness, a);
        const double then = rate / 3600 * settling - middle_by_series(thickness, rate, a, settling);
        EXPECT_NEAR(then / lag, 0.99, 1e-4);
    }
    EXPECT_EQ(checked, 13);
}

TEST(PublishedWare, StressOfASlab) {
    int checked = 0;
    const Figures figures("ware.csv");
    for (const auto& row : figures.rows()) {
        if (row.at("problem") == "slab_ramp_stress") {
            const double lag =
                core_lag_k(Figures::parameter(row, "L"), Figures::parameter(row, "rate_c_per_h"),
                           Figures::parameter(row, "alpha"));
            const WareStress stress =
                stress_of_lag(lag, Figures::parameter(row, "alpha_exp"),
                              Figures::parameter(row, "E"), Figures::parameter(row, "nu"));
            const bool surface = row.at("quantity").starts_with("surface");
            const double found = surface ? -stress.surface_pa : stress.middle_pa;
            EXPECT_NEAR(found / 1e6, Figures::number(row, "value"), 1e-8);
            ++checked;
        } else if (row.at("problem") == "thermal_shock_R") {
            EXPECT_NEAR(tolerable_difference_k(
                            Figures::parameter(row, "sigma"), Figures::parameter(row, "alpha_exp"),
                            Figures::parameter(row, "E"), Figures::parameter(row, "nu")),
                        Figures::number(row, "value"), 1e-9);
            ++checked;
        }
    }
    EXPECT_EQ(checked, 3);
}

// A piece of 12 mm at 150 K/h: the whole wall is within a few degrees, so crossing 573 C is a
// matter of thickness. 50 C/h for heavy ware (Fortuna, Sanitaryware, 2000) keeps 40 mm to the lag
// that 150 K/h gives 23 mm.
TEST(PublishedWare, HeavyWareAtFiftyIsLikeThinWareFaster) {
    const double a = 4e-7;
    EXPECT_NEAR(core_lag_k(0.040, 50, a), core_lag_k(0.040 / std::sqrt(3.0), 150, a), 1e-9);
    EXPECT_LT(core_lag_k(0.040, 50, a), 7);
}

} // namespace
} // namespace fettle
