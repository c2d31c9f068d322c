#include "runtime/heatwork/cone_target.h"

#include "runtime/heatwork/heat_work.h"
#include "tests/heatwork/standard_cones.h"

#include <cmath>
#include <gtest/gtest.h>
#include <random>

namespace fettle {
namespace {

constexpr double hour = 3600;
using enum TargetOutcome;

HeatStretch ramp(double from, double to, double rate) {
    return {from, to, (to - from) / rate * hour};
}

TEST(ConeTarget, SteadyClimbFromColdGivesBackTheTable) {
    for (const ConeRow& row : large_cones().rows) {
        const auto target = solve_ramp_target(cone_at(row.cone), 20, *row.rate_k_per_h, 0);
        ASSERT_EQ(target.outcome, solved);
        EXPECT_NEAR(target.temperature_c, row.end_c, 1e-6) << row.cone;
        EXPECT_NEAR(target.duration_s, (row.end_c - 20) / *row.rate_k_per_h * hour, 1e-2);
        EXPECT_FALSE(target.extrapolated);
    }
}

TEST(ConeTarget, OnlyTheLastHundredDegreesCount) {
    // The chart's rates are those of the last 100 K: what came before hardly matters.
    const ConeKinetics& cone = cone_at(6);
    const std::vector<HeatStretch> before = {ramp(20, 1122, 200)};
    const auto target = solve_ramp_target(cone, 1122, 60, work(cone, before));
    EXPECT_NEAR(target.temperature_c, 1222, 1.0);
}

TEST(ConeTarget, WithSoakIsCompleteAtItsEnd) {
    const ConeKinetics& cone = cone_at(6);
    const auto target = solve_ramp_target_with_soak(cone, 20, 60, 20 * 60, 0);
    ASSERT_EQ(target.outcome, solved);
    const std::vector<HeatStretch> firing = {ramp(20, target.temperature_c, 60),
                                             {target.temperature_c, target.temperature_c, 20 * 60}};
    EXPECT_NEAR(work(cone, firing), 1, 1e-7);
    EXPECT_LT(work(cone, firing[0]), 0.7);
    EXPECT_NEAR(1222 - target.temperature_c, 14, 1);
    EXPECT_NEAR(target.duration_s, firing[0].duration_s, 1e-6);
}

TEST(ConeTarget, OverADuration) {
    const ConeKinetics& cone = cone_at(-4);
    const auto target = solve_ramp_target_over(cone, 600, 7.5 * hour, 0);
    ASSERT_EQ(target.outcome, solved);
    const std::vector<HeatStretch> firing = {{600, target.temperature_c, 7.5 * hour}};
    EXPECT_NEAR(work(cone, firing), 1, 1e-7);
    EXPECT_EQ(target.duration_s, 7.5 * hour);
}

TEST(ConeTarget, SoakUntilACone) {
    const ConeKinetics& cone = cone_at(6);
    const std::vector<HeatStretch> before = {ramp(20, 1200, 60)};
    const double so_far = work(cone, before);
    const auto target = solve_soak_duration(cone, 1200, so_far);
    ASSERT_EQ(target.outcome, solved);
    EXPECT_NEAR(so_far + work(cone, HeatStretch{1200, 1200, target.duration_s}), 1, 1e-12);
    const auto back = solve_soak_temperature(cone, target.duration_s, so_far);
    EXPECT_NEAR(back.temperature_c, 1200, 1e-6);
}

TEST(ConeTarget, AHotterSoakIsShorter) {
    double before = 1e300;
    for (double t = 1050; t < 1300; t += 0.5) {
        const auto target = solve_soak_duration(cone_at(6), t, 0);
        ASSERT_EQ(target.outcome, solved);
        ASSERT_LT(target.duration_s, before);
        before = target.duration_s;
    }
    // For the message: "at 1150C it would need 7 h; at 1185C, an hour and a half".
    EXPECT_NEAR(solve_soak_duration(cone_at(6), 1150, 0).duration_s / hour, 7.0, 0.1);
    EXPECT_NEAR(solve_soak_duration(cone_at(6), 1185, 0).duration_s / hour, 1.5, 0.1);
}

TEST(ConeTarget, AlreadyComplete) {
    const auto target = solve_ramp_target(cone_at(6), 1230, 60, 1.2);
    EXPECT_EQ(target.outcome, already_complete);
    EXPECT_EQ(target.work_before, 1.2);
    EXPECT_EQ(solve_ramp_target_with_soak(cone_at(6), 1230, 60, 600, 1.0).outcome,
              already_complete);
    EXPECT_EQ(solve_ramp_target_over(cone_at(6), 1230, 600, 1.0).outcome, already_complete);
    EXPECT_EQ(solve_soak_duration(cone_at(6), 1230, 1.0).outcome, already_complete);
}

TEST(ConeTarget, SoakOvershootsEvenHere) {
    const ConeKinetics& cone = cone_at(6);
    const double so_far = work(cone, ramp(20, 1215, 60));
    const auto target = solve_ramp_target_with_soak(cone, 1215, 60, 3 * hour, so_far);
    ASSERT_EQ(target.outcome, complete_too_early);
    EXPECT_NEAR(target.work_if_staying, so_far + 3 * work_rate(cone, 1215), 1e-12);
    EXPECT_NEAR(so_far + work(cone, HeatStretch{1215, 1215, target.right_duration_s}), 1, 1e-12);
    EXPECT_LT(target.right_duration_s, 3 * hour);
    EXPECT_EQ(solve_ramp_target_over(cone, 1215, 10 * hour, so_far).outcome, complete_too_early);
}

TEST(ConeTarget, OutOfReach) {
    EXPECT_EQ(solve_soak_duration(cone_at(6), 800, 0).outcome, out_of_reach);
    EXPECT_EQ(solve_soak_duration(cone_at(6), 20, 0).outcome, out_of_reach);
    EXPECT_EQ(solve_ramp_target(cone_at(42), 20, 1e12, 0).outcome, out_of_reach);
    EXPECT_EQ(solve_ramp_target_over(cone_at(42), 20, 1e-6, 0).outcome, out_of_reach);
    EXPECT_EQ(solve_ramp_target(cone_at(6), 2600, 60, 0).outcome, out_of_reach);
}

TEST(ConeTarget, NoStep) {
    for (const double bad : {0.0, -60.0, std::nan(""), double{INFINITY}}) {
        EXPECT_EQ(solve_ramp_target(cone_at(6), 20, bad, 0).outcome, not_a_step);
        EXPECT_EQ(solve_ramp_target_with_soak(cone_at(6), 20, 60, bad, 0).outcome, not_a_step);
        EXPECT_EQ(solve_ramp_target_with_soak(cone_at(6), 20, bad, 60, 0).outcome, not_a_step);
        EXPECT_EQ(solve_ramp_target_over(cone_at(6), 20, bad, 0).outcome, not_a_step);
        EXPECT_EQ(solve_soak_temperature(cone_at(6), bad, 0).outcome, not_a_step);
    }
    EXPECT_EQ(solve_ramp_target(cone_at(6), std::nan(""), 60, 0).outcome, not_a_step);
}

TEST(ConeTarget, SaysWhenItIsExtrapolated) {
    EXPECT_TRUE(solve_ramp_target(cone_at(6), 20, 300, 0).extrapolated);
    EXPECT_TRUE(solve_ramp_target(cone_at(6), 20, 8, 0).extrapolated);
    EXPECT_TRUE(solve_soak_duration(cone_at(6), 1150, 0).extrapolated);
    EXPECT_FALSE(solve_ramp_target_with_soak(cone_at(6), 20, 60, 600, 0).extrapolated);
}

TEST(ConeTarget, HotterConeIsAHotterTarget) {
    for (const double rate : {10.0, 15.0, 37.0, 60.0, 100.0, 150.0, 300.0}) {
        double before = 0;
        for (const ConeKinetics& cone : shelf_cones().cones) {
            const double top = solve_ramp_target(cone, 20, rate, 0).temperature_c;
            EXPECT_GT(top, before) << cone.cone << " at " << rate;
            before = top;
        }
    }
}

TEST(ConeTarget, RandomFiringsComeOutComplete) {
    std::mt19937 random(17);
    const auto between = [&](double low, double high) {
        return std::uniform_real_distribution<double>(low, high)(random);
    };
    int solved_ones = 0;
    for (int i = 0; i < 3000; ++i) {
        const auto& cones = shelf_cones().cones;
        const ConeKinetics& cone = cones[static_cast<std::size_t>(between(0, 38.999))];
        const double warm = between(100, cone.coldest_end_c + 5);
        const std::vector<HeatStretch> before = {ramp(20, warm, between(20, 400)),
                                                 {warm, warm, between(0, 2) * hour}};
        const double so_far = work(cone, before);
        const double rate = between(10, 400), soak = between(1, 120) * 60;
        std::vector<HeatStretch> after;
        ConeTarget target;
        switch (i % 4) {
        case 0:
            target = solve_ramp_target(cone, warm, rate, so_far);
            after = {ramp(warm, target.temperature_c, rate)};
            break;
        case 1:
            target = solve_ramp_target_with_soak(cone, warm, rate, soak, so_far);
            after = {ramp(warm, target.temperature_c, rate),
                     {target.temperature_c, target.temperature_c, soak}};
            break;
        case 2:
            target = solve_ramp_target_over(cone, warm, soak, so_far);
            after = {{warm, target.temperature_c, soak}};
            break;
        case 3:
            target = solve_soak_duration(cone, warm, so_far);
            after = {{warm, warm, target.duration_s}};
            break;
        }
        if (target.outcome != solved)
            continue;
        ++solved_ones;
        ASSERT_GE(target.temperature_c, warm);
        ASSERT_NEAR(so_far + work(cone, after), 1, 1e-7) << cone.cone << " way " << i % 4;
        // And the reading says that very cone; days below its range are beyond any table.
        if (target.extrapolated && target.duration_s > 24 * hour)
            continue;
        std::vector<HeatStretch> firing = before;
        firing.insert(firing.end(), after.begin(), after.end());
        ASSERT_NEAR(cone_reached(shelf_cones(), firing).position, cone.cone, 1e-4)
            << cone.cone << " way " << i % 4 << " to " << target.temperature_c;
    }
    EXPECT_GT(solved_ones, 2000);
}

TEST(ConeTarget, SameBytesEveryTime) {
    const auto one = solve_ramp_target_with_soak(cone_at(6), 900, 83, 900, 0.01);
    const auto two = solve_ramp_target_with_soak(cone_at(6), 900, 83, 900, 0.01);
    EXPECT_EQ(one.temperature_c, two.temperature_c);
    EXPECT_EQ(one.duration_s, two.duration_s);
}

} // namespace
} // namespace fettle
