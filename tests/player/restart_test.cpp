// Power lost: by the policy, case by case, and then at every minute of three firings.
#include "test_kiln.h"

#include <gtest/gtest.h>

namespace fettle {
namespace {

using player::Decision;
using player::Heating;
using player::Player;
using player::Reason;
using player::Refusal;
using player::State;

constexpr std::int64_t minute_ms = 60'000;
constexpr std::int64_t hour_ms = 60 * minute_ms;

TEST(Restart, ABriefCutChangesNothing) {
    Playing playing(bisque());
    playing.run_to_segment(4);
    playing.run_ms(hour_ms);
    const player::Now before = playing.now;
    playing.lose_power(30'000);
    EXPECT_EQ(playing.now.state, State::running);
    EXPECT_EQ(playing.now.segment, before.segment);
    EXPECT_EQ(playing.now.segment_ms, before.segment_ms);
    EXPECT_EQ(playing.now.power_cuts, 1);
    EXPECT_FALSE(playing.now.returning);
}

// 1 h 20 min off in the climb to 600C: the climb begins again where the kiln is.
TEST(Restart, BelowTheGentleTemperatureItIsTakenUpWhereTheKilnIs) {
    Playing playing(bisque());
    playing.run_to_segment(2);
    playing.run_ms(3 * hour_ms);
    const std::int64_t before_ms = playing.now.segment_ms;
    playing.lose_power(80 * minute_ms);
    EXPECT_EQ(playing.now.state, State::running);
    EXPECT_EQ(playing.now.segment, 2);
    EXPECT_LT(playing.now.segment_ms, before_ms);
    EXPECT_NEAR(playing.now.set_point_millicelsius / 1000.0, playing.kiln.temperature_c, 0.01);
    playing.run_out();
    EXPECT_EQ(playing.now.state, State::finished);
}

// So far off that the soak at 120C lies ahead again: it is kept again.
TEST(Restart, BelowTheGentleTemperatureSoaksAreKeptAgain) {
    Playing playing(bisque());
    playing.run_to_segment(2);
    playing.run_ms(10 * minute_ms);
    playing.lose_power(90 * minute_ms);
    EXPECT_EQ(playing.now.segment, 0);
    playing.run_to_segment(1);
    EXPECT_EQ(playing.now.segment, 1);
    EXPECT_LT(playing.now.segment_ms, 20'000);
}

// In the climb to 1060C, back below 600C: the soak at 600C was kept and is not kept again, and the
// climb through the inversion is at the table's own rate.
TEST(Restart, AboveItTheKilnClimbsBackAtTheTablesRates) {
    Playing playing(bisque());
    playing.run_to_segment(4);
    playing.run_ms(40 * minute_ms); // 700C
    playing.lose_power(40 * minute_ms);
    EXPECT_LT(playing.kiln.temperature_c, 560);
    EXPECT_EQ(playing.now.state, State::running);
    EXPECT_TRUE(playing.now.returning);
    EXPECT_EQ(playing.now.segment, 2);
    std::int32_t before = playing.now.set_point_millicelsius;
    while (playing.now.returning) {
        playing.step();
        const bool slow = playing.now.segment == 2;
        ASSERT_LE(playing.now.set_point_millicelsius - before,
                  (slow ? 100'000 : 150'000) * 10 / 3600 + 1);
        ASSERT_NE(playing.now.segment, 3);
        before = playing.now.set_point_millicelsius;
    }
    EXPECT_NEAR(playing.now.set_point_millicelsius, 700'000, 500);
    playing.run_out();
    EXPECT_EQ(playing.now.state, State::finished);
}

TEST(Restart, AnInterruptedSoakIsKeptForWhatIsLeftOfIt) {
    Playing playing(Built().ramp(800, 200).soak(60).ramp(1100, 200).schedule);
    playing.run_to_segment(1);
    playing.run_ms(40 * minute_ms);
    playing.lose_power(10 * minute_ms);
    EXPECT_EQ(playing.now.segment, 0);
    playing.run_to_segment(1);
    EXPECT_NEAR(static_cast<double>(playing.now.segment_ms), 40 * minute_ms, 20'000);
    EXPECT_FALSE(playing.now.returning);
}

TEST(Restart, AboveItAVeryDeepFallIsAskedAbout) {
    Playing playing(bisque());
    playing.run_to_segment(4);
    playing.run_ms(2 * hour_ms); // 900C
    playing.lose_power(2 * hour_ms);
    EXPECT_EQ(playing.now.state, State::asking);
    EXPECT_EQ(playing.now.reason, Reason::fell_too_far);
    EXPECT_EQ(playing.now.heating, Heating::off);
    EXPECT_EQ(playing.player.decide(Decision::go_on), Refusal::none);
    playing.run_out();
    EXPECT_EQ(playing.now.state, State::finished);
}

TEST(Restart, NearTheTopMinutesCount) {
    Playing short_cut(bisque());
    short_cut.run_to_segment(5);
    short_cut.lose_power(3 * minute_ms);
    EXPECT_EQ(short_cut.now.state, State::running);
    EXPECT_TRUE(short_cut.now.returning);
    short_cut.run_out();
    EXPECT_EQ(short_cut.now.state, State::finished);

    Playing long_cut(bisque());
    long_cut.run_to_segment(5);
    long_cut.lose_power(31 * minute_ms);
    EXPECT_EQ(long_cut.now.state, State::asking);
    EXPECT_EQ(long_cut.now.reason, Reason::top_interrupted);
    EXPECT_EQ(long_cut.player.decide(Decision::stay_off), Refusal::none);
    EXPECT_EQ(long_cut.step().state, State::stopped);
}

TEST(Restart, CoolingNeverClimbsAgain) {
    Playing playing(bisque());
    playing.run_to_segment(6);
    playing.run_ms(10 * minute_ms);
    playing.lose_power(20 * minute_ms);
    const double restarted_c = playing.kiln.temperature_c;
    EXPECT_EQ(playing.now.state, State::running);
    EXPECT_TRUE(playing.now.soak_missed); // the one at 900C
    while (playing.plays()) {
        playing.step();
        ASSERT_LE(playing.kiln.temperature_c, restarted_c + 0.01);
    }
    EXPECT_EQ(playing.now.state, State::finished);
}

TEST(Restart, CoolingThatWouldClimbIsAskedAbout) {
    Playing playing(crystalline());
    playing.run_to_segment(4); // growing crystals at 1100C
    playing.run_ms(20 * minute_ms);
    playing.lose_power(15 * minute_ms);
    EXPECT_EQ(playing.now.state, State::asking);
    EXPECT_EQ(playing.now.reason, Reason::cooling_climbs);
    EXPECT_EQ(playing.player.decide(Decision::go_on), Refusal::would_climb);
    EXPECT_EQ(playing.step().state, State::asking);
    EXPECT_EQ(playing.player.decide(Decision::climb_again), Refusal::none);
    playing.step();
    EXPECT_EQ(playing.now.segment, 4);
    EXPECT_TRUE(playing.now.returning);
    EXPECT_NEAR(playing.now.set_point_millicelsius / 1000.0, playing.kiln.temperature_c, 3);
    playing.run_out();
    EXPECT_EQ(playing.now.state, State::finished);
}

TEST(Restart, OffForLongerThanADayIsAskedAbout) {
    Playing playing(bisque());
    playing.run_to_segment(1);
    playing.lose_power(25 * hour_ms);
    EXPECT_EQ(playing.now.state, State::asking);
    EXPECT_EQ(playing.now.reason, Reason::off_too_long);
}

TEST(Restart, WithoutAClockTheFallDecides) {
    Playing playing(bisque());
    playing.run_to_segment(5);
    playing.lose_power(30'000, false);
    EXPECT_EQ(playing.now.state, State::running);
    EXPECT_FALSE(playing.now.returning);
    playing.lose_power(40 * minute_ms, false);
    EXPECT_EQ(playing.now.state, State::asking);
    EXPECT_EQ(playing.now.reason, Reason::top_interrupted);
}

TEST(Restart, ADelayedStartKeepsItsHour) {
    Schedule schedule = bisque();
    schedule.delay_s = 8 * 3600;
    Playing playing(schedule);
    playing.run_ms(hour_ms);
    playing.lose_power(2 * hour_ms);
    EXPECT_EQ(playing.now.state, State::delayed);
    playing.run_ms(5 * hour_ms - 20'000);
    EXPECT_EQ(playing.now.state, State::delayed);
    playing.run_ms(30'000);
    EXPECT_EQ(playing.now.state, State::running);

    Playing late(schedule);
    late.run_ms(hour_ms);
    late.lose_power(8 * hour_ms + 1'000);
    EXPECT_EQ(late.now.state, State::asking);
    EXPECT_EQ(late.now.reason, Reason::start_missed);
    EXPECT_EQ(late.player.decide(Decision::go_on), Refusal::none);
    EXPECT_EQ(late.step().state, State::running);
}

TEST(Restart, APauseThatLostPowerIsAskedAbout) {
    Playing playing(bisque());
    playing.run_to_segment(4);
    playing.player.pause();
    playing.lose_power(10'000);
    EXPECT_EQ(playing.now.state, State::paused);
    playing.lose_power(20 * minute_ms);
    EXPECT_EQ(playing.now.state, State::asking);
    EXPECT_EQ(playing.now.reason, Reason::paused_and_cold);
}

TEST(Restart, AlarmsAndQuestionsOutliveACut) {
    Playing asking(crystalline());
    asking.run_to_segment(4);
    asking.lose_power(15 * minute_ms);
    asking.lose_power(15 * minute_ms);
    EXPECT_EQ(asking.now.state, State::asking);
    EXPECT_EQ(asking.now.reason, Reason::cooling_climbs);
    Playing alarm(bisque());
    alarm.step_with(player::Reading{player::Sensor::open, 0});
    alarm.step_with(player::Reading{player::Sensor::open, 0});
    ASSERT_EQ(alarm.now.state, State::alarm);
    alarm.lose_power(minute_ms);
    EXPECT_EQ(alarm.now.state, State::alarm);
    EXPECT_EQ(alarm.now.reason, Reason::sensor_open);
}

TEST(Restart, ALoopThatHungIsALostPower) {
    Playing playing(bisque());
    playing.run_to_segment(5);
    playing.kiln.pass(40 * 60, 0);
    playing.now_ms += 40 * minute_ms;
    playing.now = playing.player.tick(playing.now_ms, playing.kiln.reading());
    EXPECT_EQ(playing.now.state, State::asking);
    EXPECT_EQ(playing.now.reason, Reason::top_interrupted);
    EXPECT_EQ(playing.now.power_cuts, 1);
}

// The sensor says nonsense when the power comes back: it is waited for, then an alarm.
TEST(Restart, NothingIsDecidedByABadReading) {
    Playing playing(bisque());
    playing.run_to_segment(4);
    const player::Saved saved = playing.player.save();
    Player after(playing.made.table);
    ASSERT_EQ(after.restore(saved, 0, minute_ms), Refusal::none);
    const player::Reading open{player::Sensor::open, 0};
    EXPECT_EQ(after.tick(0, open).state, State::restarting);
    EXPECT_EQ(after.tick(5'000, open).heating, Heating::off);
    EXPECT_EQ(after.tick(6'000, playing.kiln.reading()).state, State::running);
    Player never(playing.made.table);
    never.restore(saved, 0, minute_ms);
    never.tick(0, open);
    EXPECT_EQ(never.tick(10'000, open).state, State::alarm);
}

TEST(Restart, WhatWasSavedIsChecked) {
    Playing playing(bisque());
    playing.run_to_segment(4);
    player::Saved saved = playing.player.save();
    saved.segment_ms += 1;
    Player damaged(playing.made.table);
    EXPECT_EQ(damaged.restore(saved, 0, minute_ms), Refusal::none);
    EXPECT_EQ(damaged.tick(0, playing.kiln.reading()).reason, Reason::damaged_memory);
    const MadeTable other = to_table(crystalline(), "other");
    Player another(other.table);
    another.restore(playing.player.save(), 0, minute_ms);
    EXPECT_EQ(another.tick(0, playing.kiln.reading()).state, State::alarm);
    EXPECT_EQ(another.tick(0, playing.kiln.reading()).reason, Reason::another_table);
    EXPECT_EQ(playing.player.restore(playing.player.save(), 0, 0), Refusal::state);
}

// --- at every minute ----------------------------------------------------------------------------

// Whatever the minute and however long it was off: the firing ends finished, or waits for a person
// with the heating off; it never climbs in cooling; it never sets more than the table's peak.
void lose_power_at_every_minute(const Schedule& schedule, std::int64_t off_ms, bool clock) {
    Playing whole(schedule);
    whole.run_out();
    const std::int64_t length_ms = whole.now_ms;
    const std::int32_t peak = player::peak_millicelsius(whole.made.table);
    std::uint16_t last_hot = 0;
    for (std::uint16_t i = 0; i < whole.made.table.segment_count; ++i) {
        last_hot = whole.made.segments[i].to_millicelsius == peak ? i : last_hot;
    }
    int finished = 0;
    int asked = 0;
    Playing before_cut(schedule);
    for (std::int64_t cut_ms = minute_ms; cut_ms < length_ms; cut_ms += minute_ms) {
        before_cut.run_ms(minute_ms);
        if (before_cut.now.state == State::finished) {
            break;
        }
        Playing playing(schedule);
        playing.player = before_cut.player;
        playing.kiln = before_cut.kiln;
        playing.now = before_cut.now;
        playing.now_ms = before_cut.now_ms;
        const bool cooling = before_cut.now.segment > last_hot;
        playing.step_ms = 30'000;
        playing.lose_power(off_ms, clock);
        ASSERT_EQ(playing.now.power_cuts, 1);
        const double restarted_c = playing.kiln.temperature_c;
        while (playing.plays() && playing.now_ms < 10 * length_ms) {
            playing.step();
            ASSERT_LE(playing.now.set_point_millicelsius, peak);
            if (cooling && off_ms > 2 * minute_ms) {
                ASSERT_LE(playing.kiln.temperature_c, restarted_c + 0.02) << cut_ms / minute_ms;
            }
        }
        ASSERT_TRUE(playing.now.state == State::finished || playing.now.state == State::asking)
            << "cut at minute " << cut_ms / minute_ms << ": state "
            << static_cast<int>(playing.now.state) << ", reason "
            << static_cast<int>(playing.now.reason);
        ASSERT_EQ(playing.now.heating, Heating::off);
        ++(playing.now.state == State::finished ? finished : asked);
    }
    EXPECT_GT(finished, 0);
    // Only the policy's questions, and where it has one: a brief cut has none.
    if (off_ms <= 2 * minute_ms && clock) {
        EXPECT_EQ(asked, 0);
    }
    if (off_ms > 24 * hour_ms) {
        EXPECT_GT(asked, 0);
    }
}

class EveryMinute : public testing::TestWithParam<std::tuple<std::int64_t, bool>> {};

TEST_P(EveryMinute, OfABisque) {
    const auto [off_ms, clock] = GetParam();
    lose_power_at_every_minute(bisque(), off_ms, clock);
}
TEST_P(EveryMinute, OfACrystallineGlaze) {
    const auto [off_ms, clock] = GetParam();
    lose_power_at_every_minute(crystalline(), off_ms, clock);
}
TEST_P(EveryMinute, OfARaku) {
    const auto [off_ms, clock] = GetParam();
    lose_power_at_every_minute(raku(), off_ms, clock);
}

INSTANTIATE_TEST_SUITE_P(
    Off, EveryMinute,
    testing::Values(std::tuple(10'000LL, true), std::tuple(5 * minute_ms, true),
                    std::tuple(45 * minute_ms, true), std::tuple(6 * hour_ms, true),
                    std::tuple(25 * hour_ms, true), std::tuple(20 * minute_ms, false)));

} // namespace
} // namespace fettle
