// Playing without trouble: the set-point is the schedule's curve, and what a person may ask for.
#include "test_kiln.h"

#include "runtime/schedule/curve.h"

#include <gtest/gtest.h>
#include <random>

namespace fettle {
namespace {

using player::Asked;
using player::Heating;
using player::Player;
using player::Reason;
using player::Refusal;
using player::State;

player::Reading reading_of(std::int32_t millicelsius) {
    return {player::Sensor::good, millicelsius};
}

// A kiln that follows at once, asked every second.
void expect_the_curve(const Schedule& schedule) {
    const MadeTable made = to_table(schedule, "test");
    ASSERT_EQ(made.fault, player::TableFault::none);
    const Curve curve(schedule);
    const double length_s = *curve.starts_s().back();
    Player player(made.table);
    ASSERT_EQ(player.start(0), Refusal::none);
    player::Now now = player.tick(0, reading_of(made.table.start_millicelsius));
    // Both ends of a segment are rounded, so a point in it may be off by what the curve does in
    // half a millisecond at each end, and by half a thousandth at each rounding.
    for (std::int64_t second = 1; second < length_s; ++second) {
        now = player.tick(second * 1000, reading_of(now.set_point_millicelsius));
        ASSERT_EQ(now.state, State::running) << second;
        ASSERT_EQ(now.heating, Heating::to_set_point) << second;
        const double expected_c = *curve.temperature_at(static_cast<double>(second));
        ASSERT_NEAR(now.set_point_millicelsius / 1000.0, expected_c, 0.0016) << second;
    }
    now = player.tick(static_cast<std::int64_t>(length_s * 1000) + 1001,
                      reading_of(now.set_point_millicelsius));
    EXPECT_EQ(now.state, State::finished);
    EXPECT_EQ(now.heating, Heating::off);
}

TEST(Play, TheSetPointIsTheCurveAtEverySecond) {
    expect_the_curve(
        Built().ramp(120, 60).soak(60).ramp(1060.3, 97.3).soak(11.7).ramp(300, 150).schedule);
    std::mt19937 random(20261);
    std::uniform_real_distribution<double> temperature(20, 1300), rate(5, 900), minutes(0.2, 90);
    for (int i = 0; i < 30; ++i) {
        Built built(temperature(random));
        for (int j = 0; j < 12; ++j) {
            if (j % 3 == 2) {
                built.soak(minutes(random));
            } else {
                built.ramp(temperature(random), rate(random));
            }
        }
        expect_the_curve(built.schedule);
    }
}

// The same firing asked every second and every 37 seconds is at the same place.
TEST(Play, HowOftenItIsAskedChangesNothing) {
    const MadeTable made = to_table(Built().ramp(120, 61).soak(7).ramp(900, 333).schedule, "test");
    Player often(made.table);
    Player seldom(made.table);
    often.start(0);
    seldom.start(0);
    player::Now a = often.tick(0, reading_of(20'000));
    player::Now b = seldom.tick(0, reading_of(20'000));
    for (std::int64_t second = 1; second <= 12'000; ++second) {
        a = often.tick(second * 1000, reading_of(a.set_point_millicelsius));
        if (second % 37 == 0) {
            b = seldom.tick(second * 1000, reading_of(a.set_point_millicelsius));
            ASSERT_EQ(a.set_point_millicelsius, b.set_point_millicelsius) << second;
            ASSERT_EQ(a.segment, b.segment) << second;
        }
    }
}

TEST(Play, AWholeFiringInAKiln) {
    Playing playing(bisque());
    playing.run_out();
    EXPECT_EQ(playing.now.state, State::finished);
    EXPECT_EQ(playing.now.power_cuts, 0);
    EXPECT_LE(playing.kiln.temperature_c, 60.1);
    Playing glaze(crystalline());
    glaze.run_out();
    EXPECT_EQ(glaze.now.state, State::finished);
    Playing hot(raku());
    hot.run_out();
    EXPECT_EQ(hot.now.state, State::finished);
}

TEST(Play, TheDelayCountsFirst) {
    Schedule schedule = bisque();
    schedule.delay_s = 3600;
    Playing playing(schedule);
    playing.run_ms(3'590'000);
    EXPECT_EQ(playing.now.state, State::delayed);
    EXPECT_EQ(playing.now.heating, Heating::off);
    EXPECT_EQ(playing.now.firing_ms, 0);
    playing.run_ms(60'000);
    EXPECT_EQ(playing.now.state, State::running);
    EXPECT_EQ(playing.now.firing_ms, 50'000);
}

TEST(Play, SegmentsWithoutATimeEndByTheKiln) {
    Playing playing(raku());
    playing.run_to_segment(1);
    EXPECT_EQ(playing.now.heating, Heating::full);
    EXPECT_EQ(playing.now.set_point_millicelsius, 980'000);
    playing.run_to_segment(2);
    EXPECT_GE(playing.kiln.temperature_c, 980);
    EXPECT_EQ(playing.now.heating, Heating::to_set_point);
    playing.run_to_segment(3);
    EXPECT_EQ(playing.now.heating, Heating::off);
    playing.run_to_segment(4);
    EXPECT_LE(playing.kiln.temperature_c, 300);
    EXPECT_EQ(playing.now.heating, Heating::off);
}

TEST(Play, AWaitingSoakHoldsItsClock) {
    // 400 K/h is more than this kiln can near the top.
    Playing patient(Built().ramp(1250, 400).soak(30).waiting(5).schedule);
    patient.run_to_segment(1);
    EXPECT_LT(patient.kiln.temperature_c, 1200);
    patient.step();
    EXPECT_EQ(patient.now.state, State::waiting);
    while (patient.now.state == State::waiting) {
        EXPECT_EQ(patient.now.set_point_millicelsius, 1'250'000);
        EXPECT_LT(patient.now.segment_ms, 10'001);
        patient.step();
    }
    EXPECT_NEAR(patient.kiln.temperature_c, 1245, 1);
    const std::int64_t there_ms = patient.now_ms;
    patient.run_out();
    EXPECT_EQ(patient.now.state, State::finished);
    EXPECT_NEAR(static_cast<double>(patient.now_ms - there_ms), 30 * 60'000, 20'000);
}

TEST(Play, PauseHoldsAndResumeGoesOn) {
    Playing playing(bisque());
    playing.run_to_segment(2);
    playing.run_ms(600'000);
    const player::Now before = playing.now;
    EXPECT_EQ(playing.player.pause(), Refusal::none);
    EXPECT_EQ(playing.player.pause(), Refusal::state);
    playing.run_ms(1'800'000);
    EXPECT_EQ(playing.now.state, State::paused);
    EXPECT_EQ(playing.now.heating, Heating::to_set_point);
    EXPECT_EQ(playing.now.set_point_millicelsius, before.set_point_millicelsius);
    EXPECT_EQ(playing.now.segment_ms, before.segment_ms);
    EXPECT_EQ(playing.player.resume(), Refusal::none);
    playing.step();
    EXPECT_EQ(playing.now.segment_ms, before.segment_ms + playing.step_ms);
    EXPECT_EQ(playing.now.firing_ms, before.firing_ms + 1'810'000);
}

TEST(Play, AVeryLongPauseIsAskedAbout) {
    Playing playing(bisque());
    playing.run_to_segment(2);
    playing.player.pause();
    playing.run_ms(4 * 3'600'000 + 20'000);
    EXPECT_EQ(playing.now.state, State::asking);
    EXPECT_EQ(playing.now.reason, Reason::paused_too_long);
    EXPECT_EQ(playing.now.heating, Heating::off);
    EXPECT_EQ(playing.player.decide(player::Decision::go_on), Refusal::none);
    playing.run_out();
    EXPECT_EQ(playing.now.state, State::finished);
}

TEST(Play, APauseInAFullClimbHoldsTheKilnWhereItIs) {
    Playing playing(raku());
    playing.run_to_segment(1);
    playing.run_ms(300'000);
    playing.player.pause();
    playing.run_ms(1'200'000);
    EXPECT_NEAR(playing.now.set_point_millicelsius / 1000.0, playing.kiln.temperature_c, 8);
    EXPECT_LT(playing.kiln.temperature_c, 500);
}

TEST(Play, SkippingMustBeAskedForInTheOpen) {
    Playing playing(bisque());
    playing.run_to_segment(2);
    EXPECT_EQ(playing.player.skip(2, Asked::no), Refusal::not_asked);
    EXPECT_EQ(playing.player.skip(1, Asked::in_the_open), Refusal::another_segment);
    EXPECT_EQ(playing.player.skip(3, Asked::in_the_open), Refusal::another_segment);
    EXPECT_EQ(playing.now.segment, 2);
    EXPECT_EQ(playing.player.skip(2, Asked::in_the_open), Refusal::none);
    EXPECT_EQ(playing.step().segment, 3);
}

// From 120C the ramp to 600C is skipped, and the soak at 600C, and the climb to 1060C begins below.
TEST(Play, ASkipNeverMakesTheSetPointJump) {
    Playing playing(bisque());
    playing.run_to_segment(2);
    std::int32_t before = playing.now.set_point_millicelsius;
    playing.player.skip(2, Asked::in_the_open);
    playing.player.skip(3, Asked::in_the_open);
    while (playing.plays() && playing.now.segment < 5) {
        playing.step();
        ASSERT_LE(playing.now.set_point_millicelsius - before, 150'000 * 10 / 3600 + 1);
        before = playing.now.set_point_millicelsius;
    }
    EXPECT_EQ(playing.now.segment, 5);
    playing.run_out();
    EXPECT_EQ(playing.now.state, State::finished);
}

TEST(Play, TheLastSegmentCanBeSkipped) {
    Playing playing(bisque());
    playing.run_to_segment(8);
    EXPECT_EQ(playing.player.skip(8, Asked::in_the_open), Refusal::none);
    EXPECT_EQ(playing.step().state, State::finished);
}

TEST(Play, StopAndAcknowledge) {
    Playing playing(bisque());
    playing.run_to_segment(1);
    EXPECT_EQ(playing.player.acknowledge(), Refusal::state);
    EXPECT_EQ(playing.player.stop(), Refusal::none);
    EXPECT_EQ(playing.step().state, State::stopped);
    EXPECT_EQ(playing.now.heating, Heating::off);
    EXPECT_EQ(playing.player.start(playing.now_ms), Refusal::state);
    EXPECT_EQ(playing.player.resume(), Refusal::state);
    EXPECT_EQ(playing.player.decide(player::Decision::go_on), Refusal::state);
    EXPECT_EQ(playing.player.acknowledge(), Refusal::none);
    EXPECT_EQ(playing.player.start(playing.now_ms), Refusal::none);
    EXPECT_EQ(playing.step().state, State::running);
    EXPECT_EQ(playing.now.segment, 0);
}

TEST(Play, ABadTableOrPolicyNeverStarts) {
    const MadeTable empty = to_table(Schedule{}, "empty");
    Player nothing(empty.table);
    EXPECT_EQ(nothing.start(0), Refusal::table);
    EXPECT_EQ(nothing.tick(0, reading_of(20'000)).heating, Heating::off);
    const MadeTable made = to_table(bisque(), "bisque");
    player::Policy policy;
    policy.back_millikelvin_per_h = 0;
    Player odd(made.table, policy);
    EXPECT_EQ(odd.start(0), Refusal::policy);
    policy = {};
    policy.no_rise_ms = -1;
    EXPECT_EQ(Player(made.table, policy).start(0), Refusal::policy);
}

TEST(Play, WhatRemains) {
    Schedule schedule = bisque();
    schedule.segments.back().estimated_duration_s = 36'000;
    Playing playing(schedule);
    double whole_s = 0;
    for (const Segment& segment : schedule.segments) {
        whole_s += segment.duration_s.value_or(36'000);
    }
    EXPECT_NEAR(static_cast<double>(playing.player.remaining_ms()), whole_s * 1000, 1);
    playing.run_ms(600'000);
    EXPECT_NEAR(static_cast<double>(playing.player.remaining_ms()), whole_s * 1000 - 600'000, 1);
    Playing unknown(bisque());
    EXPECT_LT(unknown.player.remaining_ms(), 0);
}

TEST(Play, JobsAreSaidInTheirSegment) {
    Schedule schedule = bisque();
    schedule.segments[1].jobs = {"Shut the vent"};
    Playing playing(schedule);
    EXPECT_EQ(playing.now.job, nullptr);
    playing.run_to_segment(1);
    EXPECT_STREQ(playing.now.job, "Shut the vent");
    playing.run_to_segment(2);
    EXPECT_EQ(playing.now.job, nullptr);
}

} // namespace
} // namespace fettle
