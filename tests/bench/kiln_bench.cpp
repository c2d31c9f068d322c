// One firing of nearly 14 hours with a lining of 20 cells, and 1 000 of them with what varies; the
// same differential equations by SUNDIALS CVODE where it is there. tests/bench/kiln_scipy.py has
// SciPy beside them.
#include "runtime/kiln/many_runs.h"
#include "runtime/kiln/own_time.h"
#include "runtime/kiln/thermal_step.h"
#include "tests/heatwork/standard_cones.h"
#include "tests/kiln/kilns.h"

#include <benchmark/benchmark.h>
#include <cmath>

#ifdef FETTLE_HAVE_CVODE
#include <cvode/cvode.h>
#include <nvector/nvector_serial.h>
#include <sunlinsol/sunlinsol_dense.h>
#include <sunmatrix/sunmatrix_dense.h>
#endif

namespace fettle {
namespace {

SimulateOptions firing_alone() {
    SimulateOptions options;
    options.cool_down = false;
    return options;
}

// The largest difference from a fine solution, over the curve.
double error_k(const Prediction& p) {
    SimulateOptions fine = firing_alone();
    fine.method = StepMethod::explicit_fourth;
    fine.step_s = 1;
    fine.sample_s = 0;
    static const Prediction reference = simulate(stoneware(), class_kiln(), fine);
    double worst = 0;
    for (const PredictedPoint& point : p.curve)
        worst = std::max(worst, std::abs(point.kiln_c - *reference.kiln_at_c(point.time_s)));
    return worst;
}

void one_firing(benchmark::State& state) {
    SimulateOptions options = firing_alone();
    options.step_s = static_cast<double>(state.range(0));
    if (options.step_s > 0)
        options.method = StepMethod::explicit_fourth;
    const Schedule schedule = stoneware();
    Prediction p;
    for (auto _ : state) {
        p = simulate(schedule, class_kiln(), options);
        benchmark::DoNotOptimize(p.peak_c);
    }
    state.counters["error_K"] = error_k(p);
    state.counters["step_s"] = p.step_s;
}
BENCHMARK(one_firing)->Arg(0)->Arg(10)->Arg(5)->Unit(benchmark::kMillisecond);

void implicit_firing(benchmark::State& state) {
    SimulateOptions options = firing_alone();
    options.method = StepMethod::implicit_second;
    options.step_s = static_cast<double>(state.range(0));
    Prediction p;
    for (auto _ : state) {
        p = simulate(stoneware(), class_kiln(), options);
        benchmark::DoNotOptimize(p.peak_c);
    }
    state.counters["error_K"] = error_k(p);
}
BENCHMARK(implicit_firing)->Arg(10)->Arg(5)->Unit(benchmark::kMillisecond);

void thousand_firings(benchmark::State& state) {
    RunVariation variation;
    variation.sensor_k = 2.5;
    variation.sensor_share = 0.0075;
    for (auto _ : state) {
        const ManyRuns many =
            simulate_many(stoneware(), class_kiln(), shelf_cones(), variation, 1000, 1);
        benchmark::DoNotOptimize(many.runs.data());
    }
}
BENCHMARK(thousand_firings)->Unit(benchmark::kMillisecond);

// What a build asks of a kiln, once worked out.
void own_time(benchmark::State& state) {
    const OwnTime kiln(class_kiln(), 1300);
    for (auto _ : state) {
        const auto course = kiln.course(SegmentKind::free, 1222, 100, 1222, 20.0);
        benchmark::DoNotOptimize(course->data());
    }
}
BENCHMARK(own_time);

void own_time_worked_out(benchmark::State& state) {
    for (auto _ : state) {
        const OwnTime kiln(class_kiln(), 1300);
        benchmark::DoNotOptimize(kiln.course(SegmentKind::free, 1222, 100, 1222, 20.0)->data());
    }
}
BENCHMARK(own_time_worked_out)->Unit(benchmark::kMillisecond);

#ifdef FETTLE_HAVE_CVODE
struct Problem {
    ThermalNet<double> net;
    Drive<double> drive;
    double begin_s = 0;
};
int right_hand_side(realtype time, N_Vector y, N_Vector dy, void* data) {
    const auto& problem = *static_cast<Problem*>(data);
    derivative(problem.net, problem.drive, time - problem.begin_s, N_VGetArrayPointer(y),
               N_VGetArrayPointer(dy));
    return 0;
}

void cvode_bdf(benchmark::State& state) {
    const double tolerance = std::pow(10.0, -static_cast<double>(state.range(0)));
    const Schedule schedule = stoneware();
    Problem problem{thermal_net(class_kiln(), 20), {}, 0};
    double peak = 0;
    for (auto _ : state) {
        SUNContext context;
        SUNContext_Create(nullptr, &context);
        const auto n = static_cast<sunindextype>(problem.net.states());
        N_Vector y = N_VNew_Serial(n, context);
        for (sunindextype i = 0; i < n; ++i)
            NV_Ith_S(y, i) = i < static_cast<sunindextype>(problem.net.nodes()) ? 20 : 0;
        void* solver = CVodeCreate(CV_BDF, context);
        CVodeInit(solver, right_hand_side, 0, y);
        CVodeSStolerances(solver, tolerance, tolerance);
        CVodeSetUserData(solver, &problem);
        CVodeSetMaxNumSteps(solver, 100000);
        SUNMatrix matrix = SUNDenseMatrix(n, n, context);
        SUNLinearSolver linear = SUNLinSol_Dense(y, matrix, context);
        CVodeSetLinearSolver(solver, linear, matrix);
        double begin_s = 0;
        peak = 0;
        for (const Segment& segment : schedule.segments) {
            problem.begin_s = begin_s;
            problem.drive = {segment.from_c, (segment.to_c - segment.from_c) / *segment.duration_s,
                             1, 0, 0};
            const double end_s = begin_s + *segment.duration_s;
            CVodeReInit(solver, begin_s, y);
            CVodeSetStopTime(solver, end_s);
            realtype at = begin_s;
            while (at < end_s) {
                CVode(solver, end_s, y, &at, CV_ONE_STEP);
                peak = std::max(peak, NV_Ith_S(y, 1));
            }
            begin_s = end_s;
        }
        SUNLinSolFree(linear);
        SUNMatDestroy(matrix);
        CVodeFree(&solver);
        N_VDestroy(y);
        SUNContext_Free(&context);
        benchmark::DoNotOptimize(peak);
    }
    SimulateOptions fine = firing_alone();
    fine.step_s = 1;
    fine.method = StepMethod::explicit_fourth;
    state.counters["error_K"] = std::abs(peak - simulate(stoneware(), class_kiln(), fine).peak_c);
}
BENCHMARK(cvode_bdf)->Arg(5)->Arg(6)->Arg(7)->Unit(benchmark::kMillisecond);
#endif

} // namespace
} // namespace fettle

BENCHMARK_MAIN();
