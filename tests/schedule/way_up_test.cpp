// Questions to a curve on its way up, and to its cooling: by hand, then against sampling.
#include "runtime/schedule/curve.h"

#include <gtest/gtest.h>
#include <random>

namespace fettle {
namespace {

struct Leg {
    SegmentKind kind;
    double to_c;
    std::optional<double> hours;
    Vent vent = Vent::unknown;
};

Schedule schedule_of(double start_c, const std::vector<Leg>& legs) {
    Schedule schedule;
    schedule.start_c = start_c;
    schedule.phases.push_back({"all", "", ""});
    for (const Leg& leg : legs) {
        Segment segment;
        segment.kind = leg.kind;
        segment.from_c = schedule.segments.empty() ? start_c : schedule.segments.back().to_c;
        segment.to_c = leg.to_c;
        if (leg.hours)
            segment.duration_s = *leg.hours * 3600;
        segment.state = static_cast<std::uint32_t>(schedule.states.size());
        schedule.states.push_back({Atmosphere::unknown, leg.vent, {}});
        schedule.segments.push_back(segment);
    }
    return schedule;
}

constexpr auto ramp = SegmentKind::ramp;
constexpr auto soak = SegmentKind::soak;

// 20 -> 80 (1 h), soak (2 h), -> 180 (1 h), -> 900 (4 h), soak (1 h), then cooling by itself.
Schedule bisque() {
    return schedule_of(20, {{ramp, 80, 1, Vent::open},
                            {soak, 80, 2, Vent::open},
                            {ramp, 180, 1, Vent::open},
                            {ramp, 900, 4, Vent::closed},
                            {soak, 900, 1, Vent::closed},
                            {SegmentKind::free, 150, std::nullopt, Vent::closed},
                            {SegmentKind::free, 60, std::nullopt, Vent::propped}});
}

TEST(WayUp, CountsSoaksAndStopsAtTheTop) {
    const Schedule schedule = bisque();
    const Curve curve(schedule);
    // 40 to 80 of the first hour (40 min), the soak, 80 to 100 of the third (12 min).
    const CurveAnswer answer = curve.time_on_the_way_up(40, 100);
    EXPECT_NEAR(*answer.value, (40 + 120 + 12) * 60, 1e-6);
    EXPECT_EQ(answer.segments, (std::vector<std::uint32_t>{0, 1, 2}));
    // The cooling through it, whose time nobody knows, is no part of it.
    EXPECT_FALSE(curve.time_between(40, 100).value);
}

TEST(WayUp, ReachesThePeakWhereNothingIsHotter) {
    const Schedule schedule = bisque();
    const Curve curve(schedule);
    EXPECT_NEAR(*curve.time_on_the_way_up(800, 1000).value, (100.0 / 180 + 1) * 3600, 1e-6);
    EXPECT_NEAR(*curve.time_on_the_way_up(800, 900).value, (100.0 / 180 + 1) * 3600, 1e-6);
    EXPECT_EQ(curve.time_on_the_way_up(950, 1000).value, 0);
}

TEST(WayUp, AStartAboveItHasNoWayUp) {
    const Schedule schedule = schedule_of(300, {{ramp, 600, 2}, {ramp, 50, 5}, {ramp, 700, 3}});
    EXPECT_EQ(Curve(schedule).time_on_the_way_up(40, 100).value, 0);
}

TEST(WayUp, AFallBeforeTheTopCounts) {
    const Schedule schedule = schedule_of(20, {{ramp, 95, 1}, {ramp, 45, 1}, {ramp, 500, 1}});
    EXPECT_NEAR(*Curve(schedule).time_on_the_way_up(45, 95).value,
                3600 * (50.0 / 75 + 1 + 50.0 / 455), 1e-6);
}

TEST(WayUp, FullPowerIsNoTime) {
    const Schedule schedule =
        schedule_of(20, {{soak, 20, 1}, {SegmentKind::full, 600, std::nullopt}, {ramp, 900, 3}});
    EXPECT_EQ(Curve(schedule).time_on_the_way_up(40, 100).value, 0);
    EXPECT_NEAR(*Curve(schedule).time_on_the_way_up(500, 700).value, 3600, 1e-6);
}

TEST(WayUp, TheVentOfTheWayUpIsNotThatOfTheCooling) {
    const Schedule schedule = bisque();
    const Curve curve(schedule);
    EXPECT_EQ(curve.vent_on_the_way_up(40, 150).value, Vent::open);
    EXPECT_EQ(curve.vent_between(40, 150).value, Vent::propped);
    EXPECT_EQ(curve.vent_on_the_way_up(100, 300).value, Vent::closed);
}

TEST(Cooling, WhatTheFiringSetsItself) {
    const Schedule schedule = schedule_of(
        1200, {{ramp, 1000, 1}, {SegmentKind::free, 600, std::nullopt}, {ramp, 500, 2}});
    const Curve curve(schedule);
    EXPECT_EQ(curve.fastest_set_fall(1200, 0).value, 200);
    EXPECT_EQ(curve.fastest_set_fall(900, 0).value, 50);
    EXPECT_EQ(curve.fastest_set_fall(900, 700).value, 0);
    EXPECT_FALSE(curve.fastest_fall(900, 0).value);
}

TEST(Cooling, Opened) {
    const Schedule schedule = schedule_of(1200, {{SegmentKind::opened, 1000, std::nullopt},
                                                 {SegmentKind::free, 100, std::nullopt},
                                                 {SegmentKind::opened, 50, std::nullopt}});
    const Curve curve(schedule);
    EXPECT_EQ(curve.opened_between(700, 100).value, 0);
    EXPECT_EQ(curve.opened_between(1100, 900).value, 1);
    EXPECT_EQ(curve.opened_between(100, 20).value, 1);
    EXPECT_EQ(curve.opened_between(1100, 900).segments, (std::vector<std::uint32_t>{0}));
}

TEST(Cooling, HottestWithAVent) {
    const Schedule schedule = bisque();
    const Curve curve(schedule);
    EXPECT_EQ(curve.hottest_cooling_with(Vent::closed).value, 900);
    EXPECT_EQ(curve.hottest_cooling_with(Vent::propped).value, 150);
    EXPECT_FALSE(curve.hottest_cooling_with(Vent::open).value) << "only on the way up";
}

TEST(WayUp, AgreesWithSampling) {
    std::mt19937 random(7);
    std::uniform_real_distribution<double> temperature(0, 1000), hours(0.1, 5);
    for (int round = 0; round < 200; ++round) {
        std::vector<Leg> legs;
        for (int i = 0; i < 6; ++i)
            legs.push_back({ramp, temperature(random), hours(random)});
        const Schedule schedule = schedule_of(temperature(random), legs);
        double low = temperature(random), high = temperature(random);
        if (low > high)
            std::swap(low, high);
        const Curve curve(schedule);
        if (schedule.start_c > high || *curve.peak().value <= high)
            continue;
        constexpr double step_s = 5;
        double sampled = 0;
        for (double t = 0;; t += step_s) {
            const auto here = curve.temperature_at(t);
            ASSERT_TRUE(here);
            if (*here > high)
                break;
            if (*here >= low)
                sampled += step_s;
        }
        EXPECT_NEAR(*curve.time_on_the_way_up(low, high).value, sampled, 8 * step_s);
    }
}

} // namespace
} // namespace fettle
