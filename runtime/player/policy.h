// What a player does when things go wrong, as plain numbers that a studio may change. The figures
// are common practice and this project's own caution, not a standard.
#pragma once

#include "runtime/player/table.h"

#include <cstdint>

namespace fettle::player {

struct Policy {
    // --- after the power was lost ---
    // Off no longer and fallen no further than this: the firing goes on where it stood.
    std::int64_t brief_off_ms = 2 * 60 * 1000;
    std::int32_t brief_fall_millikelvin = 10'000;
    // Below this set-point a climb is taken up where the kiln now is, soaks and all. Above it, the
    // kiln climbs back at the table's own rates, and soaks that were kept are not kept again.
    std::int32_t gentle_below_millicelsius = 600'000;
    // Above gentle_below, a deeper fall than this is for a person to decide.
    std::int32_t largest_fall_millikelvin = 300'000;
    // This near to the peak heat work counts in minutes: the limits are narrower.
    std::int32_t near_top_millikelvin = 100'000;
    std::int32_t top_fall_millikelvin = 50'000;
    std::int64_t top_off_ms = 30 * 60 * 1000;
    // Off for longer than this on the way up: for a person to decide.
    std::int64_t longest_off_ms = 24LL * 3600 * 1000;
    // A delayed start that was missed by more than this is for a person to decide.
    std::int64_t latest_start_ms = 3600 * 1000;
    // For a way back on which the table has no rate; 60 K/h.
    std::int32_t back_millikelvin_per_h = 60'000;

    // --- the sensor ---
    std::int32_t sensor_lowest_millicelsius = -40'000;
    std::int32_t sensor_highest_millicelsius = 1'850'000;
    // A reading further from the last good one than this, and this for each second since, is no
    // temperature of a kiln. Falls while the kiln is opened are believed.
    std::int32_t sensor_jump_millikelvin = 50'000;
    std::int32_t sensor_millikelvin_per_s = 5'000;
    // Heating is off while the sensor is bad; for longer than this it is an alarm.
    std::int64_t sensor_grace_ms = 10 * 1000;

    // --- the kiln ---
    // Above the peak of the table, or above the ceiling of the kiln where that is lower.
    std::int32_t over_peak_millikelvin = 50'000;
    std::int32_t over_ceiling_millikelvin = 10'000;
    // While it must not be heated (off, or above the set-point by `above`), the kiln may still
    // climb this far from its lowest reading since: elements glow on.
    std::int32_t above_millikelvin = 15'000;
    std::int32_t afterglow_millikelvin = 25'000;
    // While it should climb (`full`, or below the set-point by `behind`), it must gain `least_rise`
    // within `no_rise`. Finds broken elements, a sensor that has slipped out, a reversed one, and
    // a top that this kiln never reaches.
    std::int32_t behind_millikelvin = 20'000;
    std::int32_t least_rise_millikelvin = 2'000;
    std::int64_t no_rise_ms = 30 * 60 * 1000;
    // How long a soak may wait for the kiln; a segment take that has no time of its own; a pause
    // last.
    std::int64_t longest_wait_ms = 4LL * 3600 * 1000;
    std::int64_t longest_own_time_ms = 96LL * 3600 * 1000;
    std::int64_t longest_pause_ms = 4LL * 3600 * 1000;

    // --- the clock ---
    // A longer time than this between two calls counts as lost power.
    std::int64_t longest_gap_ms = 60 * 1000;
};

// 1 K/h: a way back is never slower.
constexpr std::int32_t slowest_millikelvin_per_h = 1'000;

// Nothing negative, nothing that a sum of two could overflow.
constexpr bool is_sound(const Policy& policy) {
    const std::int64_t times[] = {policy.brief_off_ms,     policy.top_off_ms,
                                  policy.longest_off_ms,   policy.latest_start_ms,
                                  policy.sensor_grace_ms,  policy.no_rise_ms,
                                  policy.longest_wait_ms,  policy.longest_own_time_ms,
                                  policy.longest_pause_ms, policy.longest_gap_ms};
    for (const std::int64_t time : times) {
        if (time < 0 || time > longest_ms) {
            return false;
        }
    }
    const std::int32_t distances[] = {
        policy.brief_fall_millikelvin,  policy.largest_fall_millikelvin,
        policy.near_top_millikelvin,    policy.top_fall_millikelvin,
        policy.sensor_jump_millikelvin, policy.sensor_millikelvin_per_s,
        policy.over_peak_millikelvin,   policy.over_ceiling_millikelvin,
        policy.above_millikelvin,       policy.afterglow_millikelvin,
        policy.behind_millikelvin,      policy.least_rise_millikelvin};
    for (const std::int32_t distance : distances) {
        if (distance < 0 || distance > hottest_millicelsius) {
            return false;
        }
    }
    return policy.back_millikelvin_per_h >= slowest_millikelvin_per_h &&
           policy.back_millikelvin_per_h <= hottest_millicelsius &&
           policy.sensor_lowest_millicelsius < policy.sensor_highest_millicelsius;
}
static_assert(is_sound(Policy{}));

} // namespace fettle::player
