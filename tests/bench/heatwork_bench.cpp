// Speed of heat work: the work of a long firing for one cone, cone targets, the reading of a
// firing, the fit of the whole table; and the same integral by adaptive quadrature (GSL, where it
// is installed) asked for the same accuracy.
#include "runtime/heatwork/cone_target.h"
#include "runtime/heatwork/heat_work.h"
#include "tests/heatwork/standard_cones.h"

#include <benchmark/benchmark.h>
#include <cmath>

#ifdef FETTLE_HAVE_GSL
#include <gsl/gsl_errno.h>
#include <gsl/gsl_integration.h>
#endif

namespace fettle {
namespace {

// A firing of 100 segments that climbs to 1230 C in small steps of all kinds, most in the cone's
// range.
std::vector<HeatStretch> firing(int segments) {
    std::vector<HeatStretch> list;
    double at = 20;
    for (int i = 0; i < segments; ++i) {
        if (i % 5 == 4) {
            list.push_back({at, at, 600});
            continue;
        }
        const double share = (i + 1.0) / segments;
        const double to = i % 7 == 6 ? at - 15 : 20 + 1210 * std::sqrt(share);
        list.push_back({at, to, std::abs(to - at) / (60 + i) * 3600});
        at = to;
    }
    return list;
}

void work_of_one_cone(benchmark::State& state, const ConeKinetics& cone) {
    const auto stretches = firing(100);
    for (auto _ : state)
        benchmark::DoNotOptimize(work(cone, stretches));
}

void reading(benchmark::State& state) {
    const auto stretches = firing(static_cast<int>(state.range(0)));
    for (auto _ : state)
        benchmark::DoNotOptimize(cone_reached(shelf_cones(), stretches));
}

void target_at_a_rate(benchmark::State& state) {
    for (auto _ : state)
        benchmark::DoNotOptimize(solve_ramp_target(cone_at(6), 1000, 300, 1e-4));
}

void target_with_soak(benchmark::State& state) {
    for (auto _ : state)
        benchmark::DoNotOptimize(solve_ramp_target_with_soak(cone_at(6), 1000, 60, 1200, 1e-4));
}

void target_over_a_duration(benchmark::State& state) {
    for (auto _ : state)
        benchmark::DoNotOptimize(solve_ramp_target_over(cone_at(6), 1000, 4 * 3600, 1e-4));
}

// As the lowering does it: the work before, then the target.
void target_after_100_segments(benchmark::State& state) {
    const auto stretches = firing(100);
    const ConeKinetics& cone = cone_at(8);
    for (auto _ : state) {
        const double before = work(cone, stretches);
        benchmark::DoNotOptimize(
            solve_ramp_target_with_soak(cone, stretches.back().to_c, 60, 600, before));
    }
}

void soak_until_a_cone(benchmark::State& state) {
    for (auto _ : state)
        benchmark::DoNotOptimize(solve_soak_duration(cone_at(6), 1200, 0.3));
}

void step_of_a_sum(benchmark::State& state) {
    HeatWork sum(shelf_cones());
    sum.add({20, 1150, 1130 / 60.0 * 3600});
    for (auto _ : state) {
        sum.add({1150, 1150.1, 0.001});
        benchmark::DoNotOptimize(sum);
    }
}

void fit_the_scale(benchmark::State& state) {
    const ConeTable large = large_cones(), high = high_cones();
    for (auto _ : state)
        benchmark::DoNotOptimize(fit_shelf_cones(large, high));
}

void read_and_fit_the_scale(benchmark::State& state) {
    const std::string large = text_of("stdlib/data/cones_large.csv");
    const std::string high = text_of("stdlib/data/cones_pce.csv");
    for (auto _ : state) {
        const auto large_table = std::get<ConeTable>(read_cone_table(large, ConeKind::large));
        const auto high_table = std::get<ConeTable>(read_cone_table(high, ConeKind::high));
        benchmark::DoNotOptimize(fit_shelf_cones(large_table, high_table));
    }
}

BENCHMARK_CAPTURE(work_of_one_cone, corrected, cone_at(6));
BENCHMARK_CAPTURE(work_of_one_cone, two_parameters, without_correction(cone_at(6)));
BENCHMARK(reading)->Arg(20)->Arg(100);
BENCHMARK(target_at_a_rate);
BENCHMARK(target_with_soak);
BENCHMARK(target_over_a_duration);
BENCHMARK(target_after_100_segments);
BENCHMARK(soak_until_a_cone);
BENCHMARK(step_of_a_sum);
BENCHMARK(fit_the_scale);
BENCHMARK(read_and_fit_the_scale);

#ifdef FETTLE_HAVE_GSL
// All are asked for a relative accuracy of 1e-10 and fail if they do not report it; the counter
// shows how far the sum is from ours. The two-parameter law is used, which is smooth in a segment,
// so that the quadrature has no corners to look for.
double temperature_at(const std::vector<HeatStretch>& stretches, double time_h) {
    double rest = time_h * 3600;
    for (const HeatStretch& s : stretches) {
        if (rest <= s.duration_s)
            return s.from_c + (s.to_c - s.from_c) * rest / s.duration_s;
        rest -= s.duration_s;
    }
    return stretches.back().to_c;
}

struct Quadrature {
    ConeKinetics cone = without_correction(cone_at(6));
    std::vector<HeatStretch> stretches = firing(100);
    gsl_integration_workspace* workspace = gsl_integration_workspace_alloc(5000);
    HeatStretch now;

    Quadrature() { gsl_set_error_handler_off(); }
    Quadrature(const Quadrature&) = delete;
    ~Quadrature() { gsl_integration_workspace_free(workspace); }

    void finish(benchmark::State& state, double sum, int status) const {
        if (status != GSL_SUCCESS)
            state.SkipWithError(gsl_strerror(status));
        state.counters["off_by"] = std::abs(sum / work(cone, stretches) - 1);
    }
};

double rate_in_segment(double time_h, void* argument) {
    const auto* q = static_cast<const Quadrature*>(argument);
    const HeatStretch& s = q->now;
    return work_rate(q->cone, s.from_c + (s.to_c - s.from_c) * time_h * 3600 / s.duration_s);
}

double rate_in_firing(double time_h, void* argument) {
    const auto* q = static_cast<const Quadrature*>(argument);
    return work_rate(q->cone, temperature_at(q->stretches, time_h));
}

// The firing as one function of time, the plain call of the library.
void by_quadrature_of_the_firing(benchmark::State& state) {
    Quadrature q;
    gsl_function function{&rate_in_firing, &q};
    double hours = 0;
    for (const HeatStretch& s : q.stretches)
        hours += s.duration_s / 3600;
    double sum = 0, error = 0;
    int status = GSL_SUCCESS;
    for (auto _ : state)
        status = gsl_integration_qag(&function, 0, hours, 0, 1e-10, 5000, GSL_INTEG_GAUSS21,
                                     q.workspace, &sum, &error);
    q.finish(state, sum, status);
}

// Told where the corners are.
void by_quadrature_between_corners(benchmark::State& state) {
    Quadrature q;
    gsl_function function{&rate_in_firing, &q};
    std::vector<double> corners = {0};
    for (const HeatStretch& s : q.stretches)
        corners.push_back(corners.back() + s.duration_s / 3600);
    double sum = 0, error = 0;
    int status = GSL_SUCCESS;
    for (auto _ : state)
        status = gsl_integration_qagp(&function, corners.data(), corners.size(), 0, 1e-10, 5000,
                                      q.workspace, &sum, &error);
    q.finish(state, sum, status);
}

// Written out segment by segment by someone who knows what quadrature wants.
void by_quadrature_of_each_segment(benchmark::State& state) {
    Quadrature q;
    gsl_function function{&rate_in_segment, &q};
    double sum = 0;
    int status = GSL_SUCCESS;
    for (auto _ : state) {
        sum = 0;
        for (const HeatStretch& stretch : q.stretches) {
            q.now = stretch;
            double part = 0, error = 0;
            status |= gsl_integration_qag(&function, 0, stretch.duration_s / 3600, 0, 1e-10, 200,
                                          GSL_INTEG_GAUSS21, q.workspace, &part, &error);
            sum += part;
        }
    }
    q.finish(state, sum, status);
}

BENCHMARK(by_quadrature_of_the_firing);
BENCHMARK(by_quadrature_between_corners);
BENCHMARK(by_quadrature_of_each_segment);
#endif

} // namespace
} // namespace fettle

BENCHMARK_MAIN();
