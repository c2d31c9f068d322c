// What expressions are worth, printed in the unit that they were written in.
#include "tests/language/programs.h"

#include <gtest/gtest.h>

namespace fettle {
namespace {

TEST(Expressions, a_temperature_is_a_point) {
    EXPECT_EQ(value_of("600C + 20dC"), "620C");
    EXPECT_EQ(value_of("600C - 20dC"), "580C");
    EXPECT_EQ(value_of("600C - 550C"), "50dC");
    EXPECT_EQ(value_of("20dC + 600C"), "620C");
    EXPECT_EQ(value_of("1112F + 36dF"), "1148F");
    EXPECT_EQ(value_of("1112F - 932F"), "180dF");
    EXPECT_EQ(value_of("600C + 36dF"), "620C");
}

TEST(Expressions, rates_and_times_multiply_and_divide) {
    EXPECT_EQ(value_of("100C/h * 2h"), "200dC");
    EXPECT_EQ(value_of("(600C - 20C) / 100C/h"), "5h48m");
    EXPECT_EQ(value_of("200dC / 2h"), "100C/h");
    EXPECT_EQ(value_of("2 * 20m"), "40m");
    EXPECT_EQ(value_of("1h30m / 2"), "45m");
    EXPECT_EQ(value_of("8mm / 2"), "4mm");
    EXPECT_EQ(value_of("6mm / 8mm"), "0.75");
}

TEST(Expressions, shares_and_numbers_mix_by_multiplying_only) {
    EXPECT_EQ(value_of("2 * 1.2%"), "2.4%");
    EXPECT_EQ(value_of("40kg * 5%"), "2kg");
    EXPECT_NE(value_of("1.2% + 1").find("error[fraction-and-number]"), std::string::npos);
    EXPECT_NE(value_of("1.2% + one", "let one = 1").find("error[fraction-and-number]"),
              std::string::npos);
}

TEST(Expressions, precedence_is_that_of_the_language) {
    EXPECT_EQ(value_of("2 + 3 * 4"), "14");
    EXPECT_EQ(value_of("(2 + 3) * 4"), "20");
    EXPECT_EQ(value_of("10 - 4 - 3"), "3");
    EXPECT_EQ(value_of("16 / 4 / 2"), "2");
    EXPECT_EQ(value_of("-2 + 5"), "3");
    EXPECT_EQ(value_of("1 when yes otherwise 2"), "1");
    EXPECT_EQ(value_of("1 when no otherwise 2 when no otherwise 3"), "3");
    EXPECT_EQ(value_of("yes or no and no"), "yes");
    EXPECT_EQ(value_of("not yes or yes"), "yes");
    EXPECT_EQ(value_of("not 1 < 2"), "no");
}

TEST(Expressions, comparisons_take_nearly_equal_for_equal) {
    EXPECT_EQ(value_of("0.1 + 0.2 is 0.3"), "yes");
    EXPECT_EQ(value_of("0.1 + 0.2 <= 0.3"), "yes");
    EXPECT_EQ(value_of("0.1 + 0.2 > 0.3"), "no");
    EXPECT_EQ(value_of("212F is 100C"), "yes");
    EXPECT_EQ(value_of("60C/h is 1C/min"), "yes");
    EXPECT_EQ(value_of("1h is 60m"), "yes");
    EXPECT_EQ(value_of("25.4mm is 1in"), "yes");
}

TEST(Expressions, cones_are_ordered_by_heat) {
    EXPECT_EQ(value_of("cone 06 < cone 04"), "yes");
    EXPECT_EQ(value_of("cone 01 < cone 1"), "yes");
    EXPECT_EQ(value_of("cone 022 < cone 06"), "yes");
    EXPECT_EQ(value_of("cone 5 < cone 5.5 and cone 5.5 < cone 6"), "yes");
    EXPECT_EQ(value_of("cone 06 is cone 6"), "no");
    EXPECT_EQ(value_of("max(cone 06, cone 6, cone 04)"), "cone 6");
    EXPECT_EQ(value_of("cone 04 within cone 06 to cone 03"), "yes");
}

TEST(Expressions, ranges_include_both_ends) {
    EXPECT_EQ(value_of("4mm within 4mm to 8mm"), "yes");
    EXPECT_EQ(value_of("8mm within 4mm to 8mm"), "yes");
    EXPECT_EQ(value_of("8.1mm within 4mm to 8mm"), "no");
    EXPECT_EQ(value_of("605C within 5C of 600C"), "yes");
    EXPECT_EQ(value_of("606C within 5C of 600C"), "no");
    EXPECT_EQ(value_of("606C within 12dF of 600C"), "yes");
    EXPECT_EQ(value_of("low within high to low", "let low = 4mm\nlet high = 8mm"),
              "error[reversed-range]: a range goes upwards, but 8mm is above 4mm\n");
}

TEST(Expressions, times_of_day_may_cross_midnight) {
    EXPECT_EQ(value_of("23:00 within 22:30 to 6:00"), "yes");
    EXPECT_EQ(value_of("5:59 within 22:30 to 6:00"), "yes");
    EXPECT_EQ(value_of("12:00 within 22:30 to 6:00"), "no");
    EXPECT_EQ(value_of("12:00 within 6:00 to 22:30"), "yes");
}

TEST(Expressions, functions_of_the_language) {
    EXPECT_EQ(value_of("min(3, 1, 2)"), "1");
    EXPECT_EQ(value_of("max([1100C, 1080C])"), "1100C");
    EXPECT_EQ(value_of("min(body_range)", "let body_range = [cone 06, cone 04]"), "cone 06");
    EXPECT_EQ(value_of("abs(20dC - 50dC)"), "30dC");
    EXPECT_EQ(value_of("round(1217C, to: 5dC)"), "1215C");
    EXPECT_EQ(value_of("round(1217C, to: 5C)"), "1215C");
    EXPECT_EQ(value_of("round(2222F, to: 10dF)"), "2220F");
    EXPECT_EQ(value_of("clamp(50m, 10m, 30m)"), "30m");
    EXPECT_EQ(value_of("length([1, 2, 3])"), "3");
    EXPECT_EQ(value_of("sum([20m, 25m])"), "45m");
    EXPECT_EQ(value_of("boiling_point(0metre)").substr(0, 4), "99.9");
}

// 0.7 W/(m·K) / (1800 kg/m³ · 950 J/(kg·K)) at 150 K/h: the middle of 20 mm lags by 5.089 K, which
// is 20 GPa · 6e-6 · 5.089 / (1 − 0.2) / 3 of pull, and about half of the 10 K of the inversion.
TEST(Expressions, functions_of_a_wall) {
    constexpr std::string_view clay =
        "body clay {\n conductivity 0.7W/metre/K\n density 1800kg/metre3\n"
        " specific_heat 950J/kg/K\n expansion 6ppm/K\n stiffness 20GPa\n free_quartz 20%\n}\n";
    EXPECT_EQ(value_of("core_lag(20mm, 150C/h, clay) within 0.001dC of 5.089dC", clay), "yes");
    EXPECT_EQ(value_of("wall_stress(20mm, 150C/h, clay) within 0.1kPa of 254.5kPa", clay), "yes");
    EXPECT_EQ(value_of("wall_stress(20mm, -150C/h, clay) within 0.1kPa of 508.9kPa", clay), "yes");
    EXPECT_EQ(value_of("inversion_strain(20mm, 150C/h, clay) within 0.0001% of 0.0458%", clay),
              "yes");
    EXPECT_EQ(value_of("inversion_strain(20mm, -900C/h, clay) within 0.0001% of 0.09%", clay),
              "yes");
    constexpr std::string_view unknown_clay = "body clay {\n conductivity 0.7W/metre/K\n}\n";
    EXPECT_EQ(value_of("given(wall_stress(20mm, 150C/h, clay))", unknown_clay), "no");
    EXPECT_EQ(value_of("given(inversion_strain(20mm, 150C/h, clay))", unknown_clay), "no");
}

TEST(Expressions, functions_of_ones_own) {
    constexpr std::string_view functions =
        "function slower(rate: Rate, wall: Length = 8mm, times: Number = wall / 4mm) -> Rate = "
        "rate / times\n";
    EXPECT_EQ(value_of("slower(100C/h)", functions), "50C/h");
    EXPECT_EQ(value_of("slower(100C/h, 16mm)", functions), "25C/h");
    EXPECT_EQ(value_of("slower(100C/h, times: 10)", functions), "10C/h");
    EXPECT_EQ(value_of("slower(times: 4, rate: 100C/h)", functions), "25C/h");
}

TEST(Expressions, a_default_sees_the_parameters_before_it_only) {
    const Checked checked = check_text(
        "function slower(times: Number = wall / 4mm, wall: Length = 8mm) -> Number = times\n");
    EXPECT_NE(said(checked).find("error[unknown-name]: nothing is called `wall` here"),
              std::string::npos)
        << said(checked);
}

TEST(Expressions, nothing_is_divided_by_zero) {
    EXPECT_EQ(value_of("1 / zero", "let zero = 3 - 3"),
              "error[division-by-zero]: `zero` is zero here, and nothing can be divided by zero\n");
}

TEST(Expressions, only_the_chosen_branch_is_worked_out) {
    EXPECT_EQ(value_of("(1 / zero when zero > 0 otherwise 0)", "let zero = 3 - 3"), "0");
}

// The table of refusals of the language, each with its message.
TEST(Expressions, what_is_refused) {
    const auto first = [](std::string_view expression) {
        const std::string all = value_of(expression);
        return all.substr(0, all.find('\n'));
    };
    EXPECT_EQ(first("600C + 20C"),
              "error[temperature-plus-temperature]: two temperatures can't be added");
    EXPECT_EQ(first("2 * 600C").substr(0, 31), "error[temperature-times-number]");
    EXPECT_EQ(first("600C / 2").substr(0, 31), "error[temperature-times-number]");
    EXPECT_EQ(first("6mm < 20m").substr(0, 27), "error[different-dimensions]");
    EXPECT_EQ(first("20dC - 600C").substr(0, 35), "error[difference-minus-temperature]");
    EXPECT_EQ(first("cone 6 < 1200C").substr(0, 27), "error[cone-and-temperature]");
    EXPECT_EQ(first("cone 6 + 1").substr(0, 20), "error[no-arithmetic]");
}

} // namespace
} // namespace fettle
