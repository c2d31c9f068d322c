// The temperature integral against figures computed to 40 digits with mpmath
// (data/temperature_integral.csv, data/arrhenius_integral.csv), printed with 12 digits there.
#include "runtime/heatwork/cone_kinetics.h"
#include "runtime/heatwork/heat_work.h"
#include "runtime/heatwork/temperature_integral.h"
#include "tests/published/figures.h"

#include <cmath>
#include <gtest/gtest.h>

namespace fettle {
namespace {

TEST(PublishedTemperatureIntegral, MeetsFortyDigits) {
    const Figures figures("temperature_integral.csv");
    ASSERT_EQ(figures.rows().size(), 63u);
    for (const auto& row : figures.rows()) {
        const double theta = Figures::number(row, "theta_k"), t = Figures::number(row, "T_k");
        const double exact = Figures::number(row, "I_exact_0_to_T_k");
        EXPECT_NEAR(temperature_integral(theta, t) / exact, 1, 2e-11) << theta << " at " << t;
    }
}

TEST(PublishedTemperatureIntegral, MeetsTheTableOfDoyle) {
    // p(x) = E2(x)/x.
    const Figures figures("arrhenius_integral.csv");
    ASSERT_EQ(figures.rows().size(), 24u);
    for (const auto& row : figures.rows()) {
        const double x = Figures::number(row, "x_E_over_RT");
        const double p = scaled_e2(x) * std::exp(-x) / x;
        EXPECT_NEAR(p / Figures::number(row, "p_x"), 1, 2e-11) << x;
    }
}

// The approximation of Senum & Yang is the fourth convergent of the same fraction: 86, not 88.
TEST(PublishedTemperatureIntegral, SenumAndYangHaveEightySix) {
    const auto senum_yang = [](double x, double middle) {
        const double top = ((x + 18) * x + middle) * x + 96;
        const double bottom = (((x + 20) * x + 120) * x + 240) * x + 120;
        return top / bottom;
    };
    const Figures figures("temperature_integral.csv");
    for (const auto& row : figures.rows()) {
        const double x = Figures::number(row, "x=theta/T");
        const double exact = scaled_e2(x);
        const double published_error = Figures::number(row, "senum_yang4_rel_err");
        const double misread_error = Figures::number(row, "rel_err_if_86_is_misread_as_88");
        EXPECT_NEAR(senum_yang(x, 86) / exact - 1, published_error,
                    0.02 * std::abs(published_error) + 1e-14);
        EXPECT_NEAR(senum_yang(x, 88) / exact - 1, misread_error, 0.02 * misread_error);
    }
}

// A cone that falls at T after a climb of 60 K/h has had as much work as this many minutes at T.
TEST(PublishedTemperatureIntegral, AClimbIsWorthMinutesAtItsEnd) {
    const Figures figures("temperature_integral.csv");
    for (const auto& row : figures.rows()) {
        const double theta = Figures::number(row, "theta_k"), t = Figures::number(row, "T_k");
        ConeKinetics cone;
        cone.below = law_through(theta, t, 60);
        const double minutes = 60 / work_rate(cone, t - 273.15);
        EXPECT_NEAR(minutes / Figures::number(row, "hold_equiv_minutes_at_T_for_ramp_60C_per_h"), 1,
                    1e-7)
            << theta << " at " << t;
    }
}

} // namespace
} // namespace fettle
