// A cone as a target: how far to climb, or how long to stay, so that its heat work is complete.
//
// Each function takes where the firing is, the heat work W₀ that the cone has had before (`work`
// over everything up to here), and solves a rising function, so there is one answer:
//
//     ramp at a rate             W₀ + (R(T) − R(T₀)) / rate = 1
//     ramp at a rate, then soak  W₀ + (R(T) − R(T₀)) / rate + soak · k(T) = 1
//     ramp over a duration       W₀ + duration · (R(T) − R(T₀)) / (T − T₀) = 1
//     soak                       W₀ + duration · k(T₀) = 1
//
// At a steady rate from cold the first gives back the cone table. Answers are exact to 1e-6 K and
// not rounded: the caller rounds. A failure is a value with the numbers that explain it.
#pragma once

#include "runtime/heatwork/cone_kinetics.h"

namespace fettle {

enum class TargetOutcome : std::uint8_t {
    solved,
    already_complete,   // before the step starts; when_complete tells when
    complete_too_early, // staying at from_c for the whole soak or duration is already too much
    out_of_reach,       // not complete at hottest_c, nor in a year of soak
    not_a_step,         // a rate or duration that is not above 0
};

struct ConeTarget {
    TargetOutcome outcome = TargetOutcome::not_a_step;
    double temperature_c = 0; // solved: where the climb ends, or the soak is held
    double duration_s = 0;    // solved: of the climb, or of the soak; without `with soak`'s own
    // Solved: the cone falls outside its published end points.
    bool extrapolated = false;
    double work_before = 0; // as passed in
    // complete_too_early: what the cone would have after the whole soak or duration at from_c, and
    // how much of it would have been right.
    double work_if_staying = 0;
    double right_duration_s = 0;
};

ConeTarget solve_ramp_target(const ConeKinetics& cone, double from_c, double rate_k_per_h,
                             double work_so_far);
ConeTarget solve_ramp_target_with_soak(const ConeKinetics& cone, double from_c, double rate_k_per_h,
                                       double soak_s, double work_so_far);
ConeTarget solve_ramp_target_over(const ConeKinetics& cone, double from_c, double duration_s,
                                  double work_so_far);
ConeTarget solve_soak_duration(const ConeKinetics& cone, double at_c, double work_so_far);

// For messages: the temperature at which what is missing would take this long ("at 1185C, 2 h").
ConeTarget solve_soak_temperature(const ConeKinetics& cone, double duration_s, double work_so_far);

} // namespace fettle
