// Faults of sensor, kiln and clock, one by one, then random nonsense.
#include "test_kiln.h"

#include <gtest/gtest.h>
#include <random>

namespace fettle {
namespace {

using player::Heating;
using player::Player;
using player::Reading;
using player::Reason;
using player::Refusal;
using player::Sensor;
using player::State;

constexpr std::int64_t minute_ms = 60'000;
constexpr std::int64_t hour_ms = 60 * minute_ms;

void expect_alarm(const Playing& playing, Reason reason) {
    EXPECT_EQ(playing.now.state, State::alarm);
    EXPECT_EQ(playing.now.reason, reason) << static_cast<int>(playing.now.reason);
    EXPECT_EQ(playing.now.heating, Heating::off);
}

TEST(Alarm, ABadSensorTurnsTheHeatingOffAtOnceAndIsAnAlarmSoon) {
    const std::pair<Reading, Reason> bad[] = {
        {{Sensor::open, 0}, Reason::sensor_open},
        {{Sensor::shorted, 0}, Reason::sensor_shorted},
        {{Sensor::good, -41'000}, Reason::sensor_range},
        {{Sensor::good, 1'900'000}, Reason::sensor_range},
        {{Sensor::good, 900'000}, Reason::sensor_jump},
        {{Sensor::good, 20'000}, Reason::sensor_jump},
    };
    for (const auto& [reading, reason] : bad) {
        Playing playing(bisque());
        playing.step_ms = 1'000;
        playing.run_to_segment(3);
        const player::Now before = playing.now;
        for (int second = 0; second < 10; ++second) {
            playing.step_with(reading);
            ASSERT_EQ(playing.now.state, State::running);
            ASSERT_EQ(playing.now.heating, Heating::off);
            ASSERT_FALSE(playing.now.sensor_good);
            ASSERT_EQ(playing.now.segment_ms, before.segment_ms);
        }
        playing.step_with(reading);
        expect_alarm(playing, reason);
        playing.run_ms(minute_ms); // it stays, though the sensor is good again
        expect_alarm(playing, reason);
    }
}

TEST(Alarm, AMomentOfNonsenseIsForgiven) {
    Playing playing(bisque());
    playing.step_ms = 1'000;
    playing.run_to_segment(1);
    for (int i = 0; i < 100; ++i) {
        playing.step_with(Reading{Sensor::open, 0});
        ASSERT_EQ(playing.now.heating, Heating::off);
        playing.run_ms(5'000);
        ASSERT_EQ(playing.now.heating, Heating::to_set_point);
    }
    EXPECT_EQ(playing.now.state, State::running);
}

TEST(Alarm, AnOpenedKilnMayFallAsItLikes) {
    Playing playing(raku());
    playing.step_ms = 1'000;
    playing.run_to_segment(3);
    playing.kiln.temperature_c = 500;
    playing.step();
    EXPECT_TRUE(playing.now.sensor_good);
    EXPECT_EQ(playing.now.state, State::running);
}

TEST(Alarm, OverTemperature) {
    Playing playing(bisque());
    playing.run_to_segment(5);
    while (playing.plays() && playing.kiln.temperature_c < 1111) {
        playing.kiln.temperature_c += 1;
        playing.now_ms += 1'000;
        playing.now = playing.player.tick(playing.now_ms, playing.kiln.reading());
    }
    // What comes first: 40 K above the set-point and climbing is a runaway.
    expect_alarm(playing, Reason::runaway);
    player::Policy policy;
    policy.afterglow_millikelvin = 500'000;
    Playing without(bisque(), policy);
    without.run_to_segment(5);
    while (without.plays()) {
        without.kiln.temperature_c += 1;
        without.now_ms += 1'000;
        without.now = without.player.tick(without.now_ms, without.kiln.reading());
    }
    expect_alarm(without, Reason::over_temperature);
    EXPECT_NEAR(without.kiln.temperature_c, 1110, 2);
}

// A firing to the very ceiling may overshoot by 10 K and no more.
TEST(Alarm, TheCeilingCounts) {
    const MadeTable made = to_table(Built(1270).soak(60).schedule, "hot", 1280);
    Player player(made.table);
    player.start(0);
    player.tick(0, {Sensor::good, 1'270'000});
    EXPECT_EQ(player.tick(1'000, {Sensor::good, 1'280'000}).state, State::running);
    EXPECT_EQ(player.tick(2'000, {Sensor::good, 1'280'001}).reason, Reason::over_temperature);
}

TEST(Alarm, AStuckRelay) {
    // While it should only hold: it climbs away.
    Playing holding(bisque());
    holding.run_to_segment(1);
    holding.kiln.relay_is_stuck = true;
    holding.run_ms(hour_ms);
    expect_alarm(holding, Reason::runaway);
    // While it should cool by itself.
    Playing cooling(bisque());
    cooling.run_to_segment(8);
    cooling.run_ms(hour_ms);
    cooling.kiln.relay_is_stuck = true;
    cooling.run_ms(hour_ms);
    expect_alarm(cooling, Reason::heats_while_off);
    // Before the start, and after the end.
    Schedule schedule = bisque();
    schedule.delay_s = 8 * 3600;
    Playing delayed(schedule);
    delayed.kiln.relay_is_stuck = true;
    delayed.run_ms(hour_ms);
    expect_alarm(delayed, Reason::heats_while_off);
    Playing done(bisque());
    done.run_out();
    done.kiln.relay_is_stuck = true;
    done.run_ms(hour_ms);
    expect_alarm(done, Reason::heats_while_off);
}

TEST(Alarm, AControlledFallThatTheKilnCanNotFollowIsNoRunaway) {
    Playing playing(Built().ramp(1000, 300).ramp(100, 2'000).schedule);
    playing.run_out();
    EXPECT_EQ(playing.now.state, State::finished);
    EXPECT_GT(playing.kiln.temperature_c, 500);
}

TEST(Alarm, ABrokenElement) {
    Playing ramp(bisque());
    ramp.run_to_segment(2);
    ramp.kiln.element_is_broken = true;
    ramp.run_ms(hour_ms + 10 * minute_ms);
    expect_alarm(ramp, Reason::does_not_heat);
    Playing full(raku());
    full.run_to_segment(1);
    full.kiln.element_is_broken = true;
    full.run_ms(31 * minute_ms);
    expect_alarm(full, Reason::does_not_heat);
}

TEST(Alarm, ATopThatTheKilnNeverReaches) {
    Playing playing(raku());
    playing.kiln.hottest_k = 900;
    playing.run_out();
    expect_alarm(playing, Reason::does_not_heat);
}

// The kiln falls in the readings as it climbs.
TEST(Alarm, AReversedThermocouple) {
    Playing playing(bisque());
    playing.step_ms = 1'000;
    std::int32_t read = 20'000;
    while (playing.plays()) {
        const bool heats =
            playing.now.heating != Heating::off && playing.now.set_point_millicelsius > read;
        playing.kiln.pass(1, heats ? 1 : 0);
        read = 40'000 - playing.kiln.reading().millicelsius;
        playing.now_ms += 1'000;
        playing.now = playing.player.tick(playing.now_ms, {Sensor::good, read});
    }
    expect_alarm(playing, Reason::sensor_range);
    EXPECT_LT(playing.kiln.temperature_c, 200);
}

TEST(Alarm, AWaitWithoutAnEnd) {
    Playing playing(Built().ramp(800, 300).soak(30).waiting(5).schedule);
    playing.kiln.hottest_k = 772; // 792C: close, and never there
    playing.run_out();
    expect_alarm(playing, Reason::waited_too_long);
}

TEST(Alarm, ACoolingWithoutAnEnd) {
    Playing playing(Built(20).ramp(200, 100).free(50).schedule);
    playing.kiln.room_c = 60;
    playing.run_out(120);
    expect_alarm(playing, Reason::took_too_long);
}

TEST(Alarm, AClockThatRunsBackwards) {
    Playing playing(bisque());
    playing.run_to_segment(1);
    playing.now = playing.player.tick(playing.now_ms - 1, playing.kiln.reading());
    expect_alarm(playing, Reason::clock);
}

TEST(Alarm, AnAlarmMustBeAcknowledged) {
    Playing playing(bisque());
    playing.run_to_segment(1);
    playing.now = playing.player.tick(0, playing.kiln.reading());
    EXPECT_EQ(playing.player.start(0), Refusal::state);
    EXPECT_EQ(playing.player.resume(), Refusal::state);
    EXPECT_EQ(playing.player.decide(player::Decision::go_on), Refusal::state);
    EXPECT_EQ(playing.player.skip(1, player::Asked::in_the_open), Refusal::state);
    EXPECT_EQ(playing.player.acknowledge(), Refusal::none);
    EXPECT_EQ(playing.player.start(0), Refusal::none);
}

// --- nonsense -----------------------------------------------------------------------------------

// Whatever the sensor, the clock and a person do.
void expect_sane(const player::Now& now, const player::Table& table) {
    const bool may_heat =
        now.state == State::running || now.state == State::waiting || now.state == State::paused;
    if (!may_heat || !now.sensor_good) {
        ASSERT_EQ(now.heating, Heating::off);
    }
    ASSERT_LT(now.segment, table.segment_count);
    ASSERT_GE(now.segment_ms, 0);
    ASSERT_GE(now.firing_ms, 0);
    const player::Kind kind = table.segments[now.segment].kind;
    if (kind == player::Kind::free || kind == player::Kind::opened) {
        ASSERT_EQ(now.heating, Heating::off);
    }
    if (now.heating == Heating::full) {
        ASSERT_EQ(kind, player::Kind::full);
    }
    if (now.heating == Heating::to_set_point) {
        ASSERT_LE(now.set_point_millicelsius, player::peak_millicelsius(table) + 50'000);
        ASSERT_GE(now.set_point_millicelsius, player::coldest_millicelsius);
    }
    ASSERT_EQ(now.state == State::alarm || now.state == State::asking, now.reason != Reason::none);
}

TEST(Nonsense, NothingBreaksTheInvariants) {
    const Schedule schedules[] = {bisque(), crystalline(), raku()};
    for (std::uint32_t seed = 0; seed < 3'000; ++seed) {
        std::mt19937 random(seed);
        const auto below = [&random](std::int64_t end) {
            return static_cast<std::int64_t>(random() % static_cast<std::uint64_t>(end));
        };
        const MadeTable made = to_table(schedules[seed % 3], "test");
        Player player(made.table);
        player.start(0);
        std::int64_t now_ms = 0;
        double kiln_c = 20;
        player::Now before{};
        for (int i = 0; i < 400; ++i) {
            now_ms += below(50) == 0 ? below(4) * hour_ms : below(60'000);
            if (below(2'000) == 0) {
                now_ms = static_cast<std::int64_t>(random()) * 0x7fffffff - (1LL << 61);
            }
            if (before.heating != Heating::off || below(3) != 0) {
                kiln_c += (before.set_point_millicelsius / 1000.0 - kiln_c) * 0.3;
            }
            Reading reading{Sensor::good, static_cast<std::int32_t>(kiln_c * 1000)};
            if (below(30) == 0) {
                reading = {static_cast<Sensor>(below(4)), static_cast<std::int32_t>(random())};
            }
            const player::Now now = player.tick(now_ms, reading);
            ASSERT_NO_FATAL_FAILURE(expect_sane(now, made.table)) << "seed " << seed;
            if (before.state == State::alarm) {
                ASSERT_EQ(now.state, State::alarm);
                ASSERT_EQ(now.reason, before.reason);
            }
            before = now;
            switch (below(40)) {
            case 0: player.pause(); break;
            case 1: player.resume(); break;
            case 2: player.skip(now.segment, player::Asked::in_the_open); break;
            case 3: player.decide(static_cast<player::Decision>(below(3))); break;
            case 4: {
                const player::Saved saved = player.save();
                player = Player(made.table);
                ASSERT_EQ(player.restore(saved, now_ms, below(3) * hour_ms - 1), Refusal::none);
                break;
            }
            case 5:
                if (below(4) == 0 && player.acknowledge() == Refusal::none) {
                    player.start(now_ms);
                    before = {};
                }
                break;
            default: break;
            }
        }
    }
}

// Saved memory with any bit flipped is never taken for a firing.
TEST(Nonsense, AFlippedBitInTheMemoryIsFound) {
    Playing playing(bisque());
    playing.run_to_segment(4);
    const player::Saved good = playing.player.save();
    const auto alarmed = [&playing](const player::Saved& saved) {
        Player player(playing.made.table);
        player.restore(saved, 0, 0);
        return player.tick(0, playing.kiln.reading()).state == State::alarm;
    };
    EXPECT_FALSE(alarmed(good));
    const auto flip = [&good, &alarmed](auto member) {
        for (std::size_t bit = 0; bit < 8 * sizeof(good.*member); ++bit) {
            player::Saved bad = good;
            auto value = static_cast<std::uint64_t>(bad.*member) ^ (1ULL << bit);
            bad.*member = static_cast<std::decay_t<decltype(bad.*member)>>(value);
            EXPECT_TRUE(alarmed(bad)) << bit;
        }
    };
    flip(&player::Saved::check);
    flip(&player::Saved::fingerprint);
    flip(&player::Saved::segment_ms);
    flip(&player::Saved::firing_ms);
    flip(&player::Saved::join_ms);
    flip(&player::Saved::reading_millicelsius);
    flip(&player::Saved::segment);
    flip(&player::Saved::power_cuts);
    flip(&player::Saved::state);
    flip(&player::Saved::reason);
}

} // namespace
} // namespace fettle
