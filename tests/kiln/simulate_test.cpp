#include "tests/kiln/kilns.h"

#include <cmath>
#include <gtest/gtest.h>

namespace fettle {
namespace {

TEST(Simulate, FollowsAFiringThatTheKilnCanMake) {
    const Prediction p = simulate(stoneware(), class_kiln());
    ASSERT_EQ(p.end, FiringEnd::done);
    ASSERT_EQ(p.segments.size(), 6u);
    EXPECT_NEAR(p.duration_s, 49620, 60);
    EXPECT_NEAR(p.peak_c, 1222, 4);
    for (const SegmentPrediction& segment : p.segments)
        EXPECT_FALSE(segment.fell_behind);
    EXPECT_LT(p.ware_peak_c, p.peak_c);
    EXPECT_GT(p.ware_peak_c, p.peak_c - 10);
}

TEST(Simulate, TheHeatBalanceCloses) {
    for (StepMethod method : {StepMethod::explicit_fourth, StepMethod::implicit_second}) {
        SimulateOptions options;
        options.method = method;
        options.step_s = method == StepMethod::explicit_fourth ? 15 : 10;
        const Prediction p = simulate(stoneware(), class_kiln(), options);
        EXPECT_LT(std::abs(p.balance.gap()), 0.002);
        EXPECT_GT(p.balance.changes_j, 7.9e6); // all the water, chemical water too
        EXPECT_LT(p.balance.changes_j, 8.1e6);
        EXPECT_GT(p.balance.lining_j, p.balance.ware_j);
    }
}

TEST(Simulate, HalvingTheStepOrDoublingTheCellsChangesNothingThatMatters) {
    KilnModel kiln = class_kiln();
    kiln.power_w = 7000; // too weak, so that the kiln decides how long it takes
    const Schedule firing = Scheduled().full(600).ramp(900, 150).full(1150).soak(600).schedule;
    SimulateOptions coarse, fine, cells;
    coarse.step_s = 16;
    fine.step_s = 8;
    cells.lining_cells = 40;
    const double hours = simulate(firing, kiln, coarse).duration_s;
    EXPECT_NEAR(simulate(firing, kiln, fine).duration_s / hours, 1, 0.0005);
    EXPECT_NEAR(simulate(firing, kiln, cells).duration_s / hours, 1, 0.005);
    EXPECT_NEAR(simulate(firing, kiln).duration_s / hours, 1, 0.0005);
}

TEST(Simulate, BothMethodsAgree) {
    SimulateOptions fourth, implicit;
    fourth.method = StepMethod::explicit_fourth;
    fourth.step_s = 2;
    implicit.method = StepMethod::implicit_second;
    implicit.step_s = 5;
    const Prediction a = simulate(stoneware(), class_kiln(), fourth);
    const Prediction b = simulate(stoneware(), class_kiln(), implicit);
    for (double hour = 0.5; hour < 13.5; hour += 0.25)
        EXPECT_NEAR(*a.kiln_at_c(hour * 3600), *b.kiln_at_c(hour * 3600), 0.1) << hour;
}

TEST(Simulate, ChoosesTheImplicitMethodForALightLining) {
    KilnModel kiln = class_kiln();
    kiln.lining = {{0.05, 0.02, 0.00025, 128, 1130}};
    const Prediction p = simulate(stoneware(), kiln);
    EXPECT_EQ(p.method, StepMethod::implicit_second);
    EXPECT_NEAR(p.peak_c, 1222, 6);
    EXPECT_LT(std::abs(p.balance.gap()), 0.005);
}

TEST(Simulate, AFullClimbTakesItsTimeAndEndsAtItsTarget) {
    const Prediction p = simulate(Scheduled().full(900).soak(1800).schedule, class_kiln());
    ASSERT_EQ(p.end, FiringEnd::done);
    EXPECT_NEAR(p.segments[0].end_read_c, 900, 0.05);
    EXPECT_GT(p.segments[0].end_s, 1.5 * 3600);
    EXPECT_LT(p.segments[0].end_s, 4 * 3600);
    EXPECT_NEAR(p.segments[0].supplied_j, 12000 * p.segments[0].end_s, 1);
    EXPECT_NEAR(p.segments[1].end_s - p.segments[1].begin_s, 1800, 1e-6);
    EXPECT_LT(p.peak_read_c, 906); // no wind-up behind the climb
}

TEST(Simulate, AWaitingSoakHoldsItsClock) {
    const KilnModel kiln = [] {
        KilnModel weak = class_kiln();
        weak.power_w = 6500;
        return weak;
    }();
    const Schedule clocked = Scheduled().ramp(1000, 250).soak(1800).schedule;
    const Schedule waits = Scheduled().ramp(1000, 250).soak(1800).waiting(5).schedule;
    const Prediction by_clock = simulate(clocked, kiln), waited = simulate(waits, kiln);
    EXPECT_LT(by_clock.peak_read_c, 990);
    EXPECT_GT(by_clock.segments[1].behind_at_end_k, 5);
    ASSERT_EQ(waited.end, FiringEnd::done);
    EXPECT_GT(waited.segments[1].waited_s, 1800);
    EXPECT_NEAR(waited.segments[1].end_s - waited.segments[1].begin_s,
                waited.segments[1].waited_s + 1800, 1);
    EXPECT_GT(waited.peak_read_c, 994.9);
}

TEST(Simulate, AKilnThatNeverReachesTheTopSaysSo) {
    KilnModel weak = class_kiln();
    weak.power_w = 3000;
    for (const Schedule& firing : {Scheduled().full(1200).schedule,
                                   Scheduled().ramp(1200, 100).soak(600).waiting(5).schedule}) {
        const Prediction p = simulate(firing, weak);
        EXPECT_EQ(p.end, FiringEnd::never_reaches);
        EXPECT_EQ(p.stopped_in, firing.segments.size() - 1);
        EXPECT_GT(p.stopped_at_c, 600);
        EXPECT_LT(p.stopped_at_c, 1100);
    }
}

TEST(Simulate, AKilnInAWarmRoomNeverCoolsBelowIt) {
    KilnModel kiln = class_kiln();
    kiln.ambient_c = 30;
    const Prediction p = simulate(Scheduled(30).ramp(200, 200).free(20).schedule, kiln);
    EXPECT_EQ(p.end, FiringEnd::never_cools);
    EXPECT_NEAR(p.stopped_at_c, 30, 3);
}

TEST(Simulate, OpenedItFallsFasterThanShut) {
    const Prediction shut = simulate(Scheduled().ramp(1000, 300).free(600).schedule, class_kiln());
    const Prediction open =
        simulate(Scheduled().ramp(1000, 300).opened(600).schedule, class_kiln());
    const auto takes = [](const Prediction& p) {
        return p.segments[1].end_s - p.segments[1].begin_s;
    };
    EXPECT_LT(takes(open), takes(shut) / 3);
}

TEST(Simulate, CoolsByItselfAndTellsWhen) {
    const Prediction p = simulate(stoneware(), class_kiln());
    double before = p.duration_s;
    for (double c : {1000.0, 600.0, 300.0, 150.0, 100.0, 50.0}) {
        const auto when = p.cooled_to_s(c);
        ASSERT_TRUE(when) << c;
        EXPECT_GT(*when, before) << c;
        before = *when;
    }
    EXPECT_LT(before, p.duration_s + 60 * 3600);
    EXPECT_EQ(p.cooled_to_s(2000), 0);
    EXPECT_FALSE(p.cooled_to_s(10));
}

TEST(Simulate, ASensorThatReadsHotMakesAColderKiln) {
    KilnModel kiln = class_kiln();
    kiln.sensor_offset_k = 12;
    const Prediction p = simulate(stoneware(), kiln);
    EXPECT_NEAR(p.peak_read_c - p.peak_c, 12, 1e-9);
    EXPECT_NEAR(p.peak_read_c, 1222, 4);
}

TEST(Simulate, ThickWareLags) {
    KilnModel thin = class_kiln(), thick = class_kiln();
    thick.ware.thickness_m = 0.05;
    // Towards the end of the last climb, 73 K/h.
    const auto lag = [](const KilnModel& kiln) {
        const Prediction p = simulate(stoneware(), kiln);
        double found = 0;
        for (const PredictedPoint& point : p.curve) {
            if (point.time_s < p.segments[4].end_s - 900)
                found = point.kiln_c - point.ware_c;
        }
        return found;
    };
    // Rate · (L²/12a + ρcL/2h) with h = 8 + 4·0.8·σ·(1200 C)³, from the mean of the wall.
    const double heat_per_m3 = 1900 * (850 + 0.27 * 1190);
    const double h = 8 + 4 * 0.8 * stefan_boltzmann * std::pow(1200 + 273.15, 3);
    const double lag_s = 0.05 * 0.05 * heat_per_m3 / (12 * 0.7) + heat_per_m3 * 0.025 / h;
    EXPECT_NEAR(lag(thick), 73.0 / 3600 * lag_s, 0.8);
    EXPECT_GT(lag(thick), 10 * lag(thin));
}

TEST(Simulate, FuelGoesUpTheFlue) {
    KilnModel gas = class_kiln();
    gas.flame_c = 1650;
    gas.power_w = 40000;
    const Prediction electric = simulate(stoneware(), class_kiln());
    const Prediction p = simulate(stoneware(), gas);
    EXPECT_EQ(p.end, FiringEnd::done);
    EXPECT_GT(p.supplied_j, 2 * electric.supplied_j);
    EXPECT_LT(std::abs(p.balance.gap()), 1e-6);
}

TEST(Simulate, WaterHoldsTheWareBack) {
    KilnModel damp = class_kiln();
    damp.ware.sinks[0].heat_j = 25 * 0.15 * 2.26e6;
    const Prediction dry = simulate(stoneware(), class_kiln()), wet = simulate(stoneware(), damp);
    EXPECT_GT(wet.segments[0].ware_lag_k, dry.segments[0].ware_lag_k + 3);
    EXPECT_NEAR(wet.balance.changes_j - dry.balance.changes_j, 25 * 0.14 * 2.26e6, 1e4);
}

TEST(Simulate, NothingToFireIsDoneAtOnce) {
    const Prediction p = simulate(Schedule{}, class_kiln());
    EXPECT_EQ(p.end, FiringEnd::done);
    EXPECT_EQ(p.duration_s, 0);
    EXPECT_EQ(p.curve.size(), 1u);
}

TEST(Simulate, RefusesAKilnThatCanNotBe) {
    const auto problem = [](auto change) {
        KilnModel kiln = class_kiln();
        change(kiln);
        const Prediction p = simulate(stoneware(), kiln);
        EXPECT_EQ(p.end, FiringEnd::bad_model);
        return p.problems.empty() ? std::string() : p.problems.front().text;
    };
    EXPECT_EQ(problem([](KilnModel& k) { k.power_w = -3000; }),
              "the kiln's power is -3000 W; it must be above 0");
    EXPECT_EQ(problem([](KilnModel& k) { k.ware.mass_kg = -25; }),
              "the mass of the ware is -25 kg; it can't be below 0");
    EXPECT_EQ(problem([](KilnModel& k) { k.capacity_j_per_k = -1; }),
              "the heat capacity of the kiln is -1 J/K; it can't be below 0");
    EXPECT_EQ(problem([](KilnModel& k) { k.lining[0].density_kg_per_m3 = 0; }),
              "the density of a lining is 0 kg/m3; it must be above 0");
    EXPECT_EQ(problem([](KilnModel& k) { k.power_w = std::nan(""); }),
              "the kiln's power is nan W; it must be above 0");
    EXPECT_EQ(problem([](KilnModel& k) {
                  k.lining.clear();
                  k.direct_loss_w_per_k = 0;
              }),
              "the heat loss of a kiln without a lining is 0 W/K; it must be above 0");
}

TEST(Simulate, ConductivityIsFittedToAMeasuredLoss) {
    KilnModel kiln = class_kiln();
    kiln.direct_loss_w_per_k = 0;
    ASSERT_TRUE(fit_conductivity(kiln, 1000, 4200));
    EXPECT_NEAR(steady_loss_w(kiln, 1000), 4200, 1e-3);
    EXPECT_FALSE(fit_conductivity(kiln, 1000, 1e9));
    EXPECT_FALSE(fit_conductivity(kiln, 1000, -5));
}

} // namespace
} // namespace fettle
