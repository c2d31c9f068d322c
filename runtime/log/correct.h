// What to change next time, so that a cone falls where it should: solved by heat work on the curve
// that the kiln really made, seen from the shelf that the cones tell of.
//
// The next firing is taken to go like this one: the same climb up to the top, the same habits (a
// soak that ran two minutes over will do so again), the same difference between sensor and shelf.
// Only the top and the soak there are moved. With T the top, ΔT its change, d the shelf's
// difference, s the soak:
//
//     W(climb as logged, +d, to T + ΔT) + s·k(T + ΔT + d) + W(cooling as logged, +d + ΔT) = w
//
// which rises with ΔT and with s, so each has one answer. w is 1 where the cone fell short; where
// it had too much, what the schedule itself gives it (a hold after the top makes that more than 1).
#pragma once

#include "runtime/log/judge.h"

#include <cstddef>
#include <optional>
#include <vector>

namespace fettle {

// The climb to the top and the soak that follows, by index of their segments.
struct TopOfFiring {
    std::size_t climb = 0;
    std::optional<std::size_t> soak;
};
std::optional<TopOfFiring> top_of(const Schedule& schedule);

struct Correction {
    double top_c = 0;  // whole degrees
    double soak_s = 0; // whole minutes; 0: none
    double work = 0;   // of the cone on that shelf, then
};

enum class CorrectionOutcome : std::uint8_t {
    solved,
    as_it_is,     // the cone is down, and had no more than a fifth more than the schedule gives it
    no_top,       // the schedule or the log has no top to move
    fell_short,   // the kiln did not reach the top that was asked: a hotter one can't help
    large,        // solved, but by more than `large_change_k`: something else is wrong
    unknown_cone, // not on the scale
};

struct NextTime {
    CorrectionOutcome outcome = CorrectionOutcome::no_top;
    double cone = 0;
    double shift_k = 0;  // of the shelf
    double work_was = 0; // of the cone on that shelf, this time
    double work_asked = 1;
    double top_c = 0;  // asked this time
    double soak_s = 0; // asked this time; 0: none
    // The soak near what it was and the top moved; then the top as it is and another soak, where
    // one of up to an hour would do.
    std::vector<Correction> choices;
};

inline constexpr double large_change_k = 25;

// `by_cones` no: there is only the sensor's word for it, so small differences are left alone.
NextTime correct(const Judgement& judgement, const Schedule& schedule, const ConeScale& scale,
                 double cone, double shift_k, bool by_cones);

// The heat work that another shelf would then have.
ConeReading heat_next_time(const Judgement& judgement, const Schedule& schedule,
                           const ConeScale& scale, const NextTime& next, const Correction& choice,
                           double shift_k);

} // namespace fettle
