#include "runtime/heatwork/temperature_integral.h"

#include <cmath>
#include <gtest/gtest.h>

namespace fettle {
namespace {

TEST(TemperatureIntegral, MeetsTablesOfE2) {
    // Abramowitz & Stegun, table 5.4.
    EXPECT_NEAR(scaled_e2(0.5) * std::exp(-0.5), 0.3266439, 5e-8);
    EXPECT_NEAR(scaled_e2(1.0) * std::exp(-1.0), 0.1484955, 5e-8);
    EXPECT_NEAR(scaled_e2(2.0) * std::exp(-2.0), 0.0375343, 5e-8);
}

TEST(TemperatureIntegral, HasNoSeamWhereTheMethodChanges) {
    for (const double x : {1.0, 10.0, 32.0}) {
        const double below = scaled_e2(std::nextafter(x, 0.0));
        EXPECT_NEAR(scaled_e2(x) / below, 1, 3e-13) << x;
    }
}

TEST(TemperatureIntegral, HoldsItsDifferentialEquation) {
    // f = e^x·E2 obeys f' = f + (e^x·E1)·(−1) … written without E1: f' = f·(1 + 1/x) − 1/x.
    for (double x = 0.3; x < 400; x *= 1.17) {
        const double h = 1e-4 * x;
        const double slope = (scaled_e2(x + h) - scaled_e2(x - h)) / (2 * h);
        const double expected = scaled_e2(x) * (1 + 1 / x) - 1 / x;
        EXPECT_NEAR(slope, expected, 3e-8 * std::abs(expected) + 1e-10) << x;
    }
}

TEST(TemperatureIntegral, DoesNotOverflow) {
    EXPECT_NEAR(scaled_e2(1e12) * 1e12, 1, 1e-11);
    EXPECT_TRUE(std::isfinite(log_temperature_integral(2e5, 160)));
    EXPECT_EQ(temperature_integral(2e5, 160), 0);
}

TEST(TemperatureIntegral, LogarithmAgrees) {
    EXPECT_NEAR(std::exp(log_temperature_integral(40000, 1495)) / temperature_integral(40000, 1495),
                1, 1e-13);
}

} // namespace
} // namespace fettle
