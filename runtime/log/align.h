// A log laid along its schedule: when heating began, and for each segment the stretch of the log
// that is it.
//
// The kiln's temperature decides, not the clock, since kilns lag, wait and lose power: a climb ends
// when the kiln has come within `reach_k` of its target, a soak when it leaves that for good, a
// fall when it has come down. What is not reached ends at the hottest (coldest) that was.
#pragma once

#include "runtime/log/log_curve.h"
#include "runtime/schedule/schedule.h"

#include <cstdint>
#include <vector>

namespace fettle {

inline constexpr double reach_k = 3;

enum class PieceEnd : std::uint8_t {
    reached,     // it went as far as the schedule asks
    not_reached, // the kiln turned before that
    log_ended,   // the log does not show its end
    not_begun,   // the log does not show any of it
};

// One segment in the log. Seconds from the log's first reading.
struct AlignedPiece {
    double from_s = 0;
    double to_s = 0;
    PieceEnd end = PieceEnd::reached;

    double duration_s() const { return to_s - from_s; }
};

// The kiln fell while it should have climbed or stayed, and came back: power lost, a door opened.
struct LogDip {
    double from_s = 0;
    double to_s = 0; // when it was as hot again
    double depth_k = 0;
};

struct Alignment {
    double start_s = 0; // heating began
    double start_c = 20;
    bool begins_late = false;         // the log's first reading is well above the schedule's start
    std::vector<AlignedPiece> pieces; // one for each segment
    std::vector<LogDip> dips;         // deeper than 10 K, in time
    // How well the log fits the schedule as a whole, to tell logs of another firing.
    double peak_c = 0; // hottest minute
    double peak_s = 0;
    bool looks_like_another = false;
    bool looks_like_fahrenheit = false; // read as degrees Fahrenheit it would fit
};

Alignment align(const LogCurve& curve, const Schedule& schedule);

} // namespace fettle
