// A small kiln to play against: one lump of heat that loses to the room, a proportional loop, and
// the faults that a test wants. Also a builder of schedules.
#pragma once

#include "runtime/player/player.h"
#include "runtime/schedule/to_table.h"

#include <algorithm>
#include <cmath>
#include <optional>

namespace fettle {

struct TestKiln {
    double temperature_c = 20;
    double room_c = 20;
    double hottest_k = 1500; // above the room, in the end, at full power
    double time_constant_s = 2 * 3600;
    bool relay_is_stuck = false;
    bool element_is_broken = false;

    void pass(double seconds, double heat) {
        heat = relay_is_stuck ? 1 : element_is_broken ? 0 : heat;
        const double end_c = room_c + hottest_k * heat;
        temperature_c = end_c + (temperature_c - end_c) * std::exp(-seconds / time_constant_s);
    }
    // What the loop of a controller does with an answer of the player.
    double heat_for(const player::Now& now) const {
        if (now.heating == player::Heating::off) {
            return 0;
        }
        if (now.heating == player::Heating::full) {
            return 1;
        }
        const double behind_k = now.set_point_millicelsius / 1000.0 - temperature_c;
        const double holding = (temperature_c - room_c) / hottest_k;
        return std::clamp(holding + behind_k / 5, 0.0, 1.0);
    }
    player::Reading reading() const {
        return {player::Sensor::good, static_cast<std::int32_t>(std::lround(temperature_c * 1000))};
    }
};

struct Built {
    Schedule schedule;

    explicit Built(double start_c = 20) {
        schedule.start_c = start_c;
        schedule.phases = {{"all", "", ""}};
    }
    double here_c() const {
        return schedule.segments.empty() ? schedule.start_c : schedule.segments.back().to_c;
    }
    Built& add(SegmentKind kind, double to_c, std::optional<double> duration_s) {
        Segment segment;
        segment.kind = kind;
        segment.from_c = here_c();
        segment.to_c = to_c;
        segment.duration_s = duration_s;
        schedule.segments.push_back(segment);
        return *this;
    }
    Built& ramp(double to_c, double k_per_h) {
        return add(SegmentKind::ramp, to_c, std::fabs(to_c - here_c()) / k_per_h * 3600);
    }
    Built& soak(double minutes) { return add(SegmentKind::soak, here_c(), minutes * 60); }
    Built& waiting(double within_k) {
        schedule.segments.back().waiting_within_k = within_k;
        return *this;
    }
    Built& full(double to_c) { return add(SegmentKind::full, to_c, std::nullopt); }
    Built& free(double to_c) { return add(SegmentKind::free, to_c, std::nullopt); }
    Built& opened(double to_c) { return add(SegmentKind::opened, to_c, std::nullopt); }
};

// A bisque, a crystalline glaze firing (which climbs again on its way down) and a raku.
inline Schedule bisque() {
    return Built()
        .ramp(120, 60)
        .soak(60)
        .ramp(600, 100)
        .soak(20)
        .ramp(1060, 150)
        .soak(15)
        .ramp(900, 120)
        .soak(10)
        .free(60)
        .schedule;
}
inline Schedule crystalline() {
    return Built()
        .ramp(600, 200)
        .ramp(1260, 250)
        .soak(10)
        .free(1100)
        .soak(60)
        .ramp(1120, 100)
        .soak(30)
        .free(80)
        .schedule;
}
inline Schedule raku() {
    return Built().ramp(200, 200).full(980).soak(5).opened(300).free(60).schedule;
}

// One firing with its kiln, played in steps.
struct Playing {
    MadeTable made;
    player::Player player;
    TestKiln kiln;
    player::Now now{};
    std::int64_t now_ms = 0;
    std::int64_t step_ms = 10'000;

    explicit Playing(const Schedule& schedule, const player::Policy& policy = {})
        : made(to_table(schedule, "test", 1300)), player(made.table, policy) {
        player.start(0);
        now = player.tick(0, kiln.reading());
    }
    Playing(const Playing&) = delete;
    Playing& operator=(const Playing&) = delete;

    const player::Now& step() { return step_with(std::nullopt); }
    const player::Now& step_with(std::optional<player::Reading> reading) {
        kiln.pass(static_cast<double>(step_ms) / 1000, kiln.heat_for(now));
        now_ms += step_ms;
        now = player.tick(now_ms, reading.value_or(kiln.reading()));
        return now;
    }
    void run_ms(std::int64_t time_ms) {
        for (const std::int64_t end_ms = now_ms + time_ms; now_ms < end_ms;) {
            step();
        }
    }
    bool plays() const {
        return now.state == player::State::running || now.state == player::State::waiting ||
               now.state == player::State::delayed || now.state == player::State::restarting ||
               now.state == player::State::paused;
    }
    // Until it no longer plays, at most so many hours.
    void run_out(int hours = 100) {
        step();
        for (const std::int64_t end_ms = now_ms + hours * 3'600'000LL;
             plays() && now_ms < end_ms;) {
            step();
        }
    }
    void run_to_segment(std::uint16_t segment) {
        while (plays() && now.segment < segment) {
            step();
        }
    }
    // Off for so long, with a fresh player after it, as after a reset of the processor.
    void lose_power(std::int64_t off_ms, bool clock_ran_on = true) {
        const player::Saved saved = player.save();
        kiln.pass(static_cast<double>(off_ms) / 1000, 0);
        player = player::Player(made.table);
        now_ms = clock_ran_on ? now_ms + off_ms : 0;
        player.restore(saved, now_ms, clock_ran_on ? off_ms : player::off_time_unknown);
        now = player.tick(now_ms, kiln.reading());
    }
};

} // namespace fettle
