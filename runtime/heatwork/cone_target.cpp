#include "runtime/heatwork/cone_target.h"

#include "runtime/heatwork/root.h"

#include <cmath>
#include <limits>

namespace fettle {
namespace {

constexpr double seconds_per_hour = 3600;
constexpr double year_s = 365.25 * 24 * seconds_per_hour;
constexpr double precise_k = 1e-7;

bool is_positive(double value) {
    return value > 0 && value < std::numeric_limits<double>::infinity();
}

ConeTarget failed(TargetOutcome outcome, double work_so_far) {
    return {.outcome = outcome, .work_before = work_so_far};
}

ConeTarget solved(const ConeKinetics& cone, double temperature_c, double duration_s,
                  double work_so_far) {
    return {.outcome = TargetOutcome::solved,
            .temperature_c = temperature_c,
            .duration_s = duration_s,
            .extrapolated = is_extrapolated(cone, temperature_c),
            .work_before = work_so_far};
}

ConeTarget too_early(const ConeKinetics& cone, double at_c, double stay_s, double work_so_far) {
    ConeTarget target = failed(TargetOutcome::complete_too_early, work_so_far);
    const double k = work_rate(cone, at_c);
    target.work_if_staying = work_so_far + k * stay_s / seconds_per_hour;
    target.right_duration_s = (1 - work_so_far) / k * seconds_per_hour;
    return target;
}

// Why there is nothing to solve, whatever the step; `solved` when there is.
TargetOutcome hindrance(double step, double from_c, double work_so_far) {
    if (!is_positive(step) || !std::isfinite(from_c))
        return TargetOutcome::not_a_step;
    if (!(work_so_far < 1))
        return TargetOutcome::already_complete;
    if (from_c >= hottest_c)
        return TargetOutcome::out_of_reach;
    return TargetOutcome::solved;
}

// The temperature above from_c where missing(T) = work that is done beyond completion reaches 0.
// It is negative at from_c. Solved in ln(1 + missing), which is nearly straight.
template <class Surplus>
double climb_until(Surplus surplus, double from_c, double surplus_at_from, double high_c) {
    const auto bent = [&](double t) { return std::log(std::max(1e-300, 1 + surplus(t))); };
    return root_of_rising(bent, from_c, std::log(std::max(1e-300, 1 + surplus_at_from)), high_c,
                          std::max(0.0, bent(high_c)), precise_k);
}

} // namespace

ConeTarget solve_ramp_target(const ConeKinetics& cone, double from_c, double rate_k_per_h,
                             double work_so_far) {
    const TargetOutcome outcome = hindrance(rate_k_per_h, from_c, work_so_far);
    if (outcome != TargetOutcome::solved)
        return failed(outcome, work_so_far);
    const double missing = rate_k_per_h * (1 - work_so_far);
    const double top = std::max(from_c, end_point(cone, steady_rate(cone, from_c) + missing));
    if (top >= hottest_c)
        return failed(TargetOutcome::out_of_reach, work_so_far);
    return solved(cone, top, (top - from_c) / rate_k_per_h * seconds_per_hour, work_so_far);
}

ConeTarget solve_ramp_target_with_soak(const ConeKinetics& cone, double from_c, double rate_k_per_h,
                                       double soak_s, double work_so_far) {
    const ConeTarget without = solve_ramp_target(cone, from_c, rate_k_per_h, work_so_far);
    if (without.outcome == TargetOutcome::not_a_step || !is_positive(soak_s))
        return failed(TargetOutcome::not_a_step, work_so_far);
    if (without.outcome == TargetOutcome::already_complete)
        return without;
    const double soak_h = soak_s / seconds_per_hour;
    const double rate_here = steady_rate(cone, from_c);
    const auto surplus = [&](double t) {
        return work_so_far - 1 + (steady_rate(cone, t) - rate_here) / rate_k_per_h +
               work_rate(cone, t) * soak_h;
    };
    const double here = surplus(from_c);
    if (here >= 0)
        return too_early(cone, from_c, soak_s, work_so_far);
    const double high =
        without.outcome == TargetOutcome::solved ? without.temperature_c : hottest_c;
    if (surplus(high) < 0 && high >= hottest_c)
        return failed(TargetOutcome::out_of_reach, work_so_far);
    const double top = climb_until(surplus, from_c, here, high);
    return solved(cone, top, (top - from_c) / rate_k_per_h * seconds_per_hour, work_so_far);
}

ConeTarget solve_ramp_target_over(const ConeKinetics& cone, double from_c, double duration_s,
                                  double work_so_far) {
    const TargetOutcome outcome = hindrance(duration_s, from_c, work_so_far);
    if (outcome != TargetOutcome::solved)
        return failed(outcome, work_so_far);
    const double hours = duration_s / seconds_per_hour;
    const double rate_here = steady_rate(cone, from_c);
    const double here = work_so_far - 1 + work_rate(cone, from_c) * hours;
    if (here >= 0)
        return too_early(cone, from_c, duration_s, work_so_far);
    const auto surplus = [&](double t) {
        return work_so_far - 1 + hours * (steady_rate(cone, t) - rate_here) / (t - from_c);
    };
    if (surplus(hottest_c) < 0)
        return failed(TargetOutcome::out_of_reach, work_so_far);
    return solved(cone, climb_until(surplus, from_c, here, hottest_c), duration_s, work_so_far);
}

ConeTarget solve_soak_duration(const ConeKinetics& cone, double at_c, double work_so_far) {
    const TargetOutcome outcome = hindrance(1, at_c, work_so_far);
    if (outcome != TargetOutcome::solved)
        return failed(outcome, work_so_far);
    const double duration = (1 - work_so_far) / work_rate(cone, at_c) * seconds_per_hour;
    if (!(duration <= year_s))
        return failed(TargetOutcome::out_of_reach, work_so_far);
    return solved(cone, at_c, duration, work_so_far);
}

ConeTarget solve_soak_temperature(const ConeKinetics& cone, double duration_s, double work_so_far) {
    const TargetOutcome outcome = hindrance(duration_s, 0, work_so_far);
    if (outcome != TargetOutcome::solved)
        return failed(outcome, work_so_far);
    const double wanted = (1 - work_so_far) / (duration_s / seconds_per_hour);
    const double at = temperature_of_work_rate(cone, wanted);
    if (at >= hottest_c)
        return failed(TargetOutcome::out_of_reach, work_so_far);
    return solved(cone, at, duration_s, work_so_far);
}

} // namespace fettle
