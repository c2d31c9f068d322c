// Between a schedule and the rows of a table: first stretches (segments, or several of them drawn
// straight), then legs, which are stretches as a controller can be keyed.
#pragma once

#include "compiler/target/abilities.h"
#include "runtime/heatwork/heat_work.h"
#include "runtime/schedule/schedule.h"

#include <optional>
#include <vector>

namespace fettle {

// What a table has to make, before any rounding. In degrees Celsius.
struct Stretch {
    SegmentKind kind = SegmentKind::ramp;
    double from_c = 20;
    double to_c = 20;
    std::optional<double> duration_s;  // nothing: as fast as the kiln can
    std::optional<double> estimated_s; // of that, where a kiln model tells
    std::optional<double> waiting_k;
    std::uint32_t first = 0, last = 0; // segments, both included
};

// A stretch as it is keyed. In degrees of the controller's scale.
struct Leg {
    SegmentKind kind = SegmentKind::ramp;
    double from = 20; // where the leg before ends; the start of the firing may lie off the grid
    double to = 20;
    std::optional<double> rate;       // keyed, above 0; of a climb or fall of the rate forms
    std::optional<double> duration_s; // keyed, or what the rate comes to; nothing: its own
    std::optional<double> estimated_s;
    std::optional<double> waiting;
    std::uint32_t first = 0, last = 0;
};

// How many of the segments a controller has to fire: what comes after is cooling by itself.
std::size_t segments_to_fire(const Schedule& schedule);
// One for each of them.
std::vector<Stretch> stretches_of_segments(const Schedule& schedule);

// Rounds to what can be keyed. Rules:
//
// - A climb or fall is never faster than asked: rates are rounded down, durations up.
// - Where a slower and a faster piece meet, their common temperature is rounded so that the slower
//   one is the longer; elsewhere to the nearest.
// - The peak goes up or down, and the time of a soak there up or down, whichever leaves the heat
//   work nearest to the schedule's; never above `ceiling_c`. Other soaks: the nearest, at least
//   one time step.
// - What is longer than the longest step is cut, at temperatures that can be keyed.
//
// Rates must be within reach of the controller, and not so slow that its longest step is over
// before what can be keyed has changed (both checked before).
struct HeatAim {
    const ConeScale* scale = nullptr; // nothing: the peak goes to the nearest
    ConeReading reading;              // of the schedule
    std::optional<double> ceiling_c;
};
std::vector<Leg> legs_of(const std::vector<Stretch>& stretches, const Abilities& can,
                         const HeatAim& aim);

// The same legs as stretches of temperature in C; a leg whose time nobody knows does no work.
std::vector<HeatStretch> heat_of(const std::vector<Leg>& legs, Scale scale);
std::vector<HeatStretch> heat_of(const std::vector<Stretch>& stretches);

// A rate as it is keyed, in degrees of the scale an hour: rounded down to the step. 0: too slow.
double keyed_rate(double rate, const Abilities& can);

} // namespace fettle
