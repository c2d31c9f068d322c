#include "runtime/kiln/many_runs.h"
#include "tests/heatwork/standard_cones.h"
#include "tests/kiln/kilns.h"

#include <atomic>
#include <cmath>
#include <gtest/gtest.h>
#include <thread>

namespace fettle {
namespace {

RunVariation class_two() {
    RunVariation variation;
    variation.sensor_k = 2.5;
    variation.sensor_share = 0.0075;
    return variation;
}

// Each lane is a firing of its own: full climbs and waiting soaks end in each at another time.
TEST(ManyRuns, EachLaneIsWhatSimulateGives) {
    KilnModel weak = class_kiln();
    weak.power_w = 7000;
    KilnModel light = class_kiln();
    light.lining = {{0.05, 0.02, 0.00025, 128, 1130}};
    const Schedule own_time =
        Scheduled().full(600).ramp(1150, 200).soak(900).waiting(4).ramp(1100, 60).schedule;
    for (const KilnModel& kiln : {class_kiln(), weak, light}) {
        for (const Schedule& schedule : {stoneware(), own_time}) {
            const ManyRuns many = simulate_many(schedule, kiln, shelf_cones(), class_two(), 10, 7);
            ASSERT_EQ(many.runs.size(), 10u);
            for (const OneRun& run : many.runs) {
                SimulateOptions options;
                options.lining_cells = cells_of_many_runs;
                options.step_s = many.step_s;
                options.method = many.method;
                options.cool_down = false;
                Schedule its = schedule;
                its.start_c += run.start_k;
                const Prediction p = simulate(its, varied(kiln, class_two(), run), options);
                EXPECT_EQ(run.end, p.end);
                EXPECT_NEAR(run.duration_s, p.duration_s, 1e-9 * p.duration_s);
                EXPECT_NEAR(run.peak_c, p.peak_c, 1e-9 * p.peak_c);
                if (p.end == FiringEnd::done) {
                    EXPECT_NEAR(run.supplied_j, p.supplied_j, 1e-9 * p.supplied_j);
                }
            }
        }
    }
}

TEST(ManyRuns, ConesAreThoseOfTheCurve) {
    const ManyRuns many =
        simulate_many(stoneware(), class_kiln(), shelf_cones(), class_two(), 6, 3);
    for (const OneRun& run : many.runs) {
        SimulateOptions options;
        options.lining_cells = cells_of_many_runs;
        options.sample_s = 30;
        Schedule its = stoneware();
        its.start_c += run.start_k;
        const Prediction p = simulate(its, varied(class_kiln(), class_two(), run), options);
        EXPECT_NEAR(run.cone, predicted_cone(shelf_cones(), p).position, 0.01);
    }
}

TEST(ManyRuns, TheSameForAnyNumberOfThreads) {
    const auto on_threads = [](std::size_t n, const std::function<void(std::size_t)>& work) {
        std::atomic<std::size_t> next = 0;
        std::vector<std::thread> threads;
        for (int t = 0; t < 3; ++t)
            threads.emplace_back([&] {
                for (std::size_t i = next++; i < n; i = next++)
                    work(i);
            });
        for (std::thread& thread : threads)
            thread.join();
    };
    const auto a = simulate_many(stoneware(), class_kiln(), shelf_cones(), class_two(), 37, 5);
    const auto b =
        simulate_many(stoneware(), class_kiln(), shelf_cones(), class_two(), 37, 5, on_threads);
    ASSERT_EQ(a.runs.size(), b.runs.size());
    for (std::size_t i = 0; i < a.runs.size(); ++i) {
        EXPECT_EQ(a.runs[i].peak_c, b.runs[i].peak_c);
        EXPECT_EQ(a.runs[i].cone, b.runs[i].cone);
        EXPECT_EQ(a.runs[i].supplied_j, b.runs[i].supplied_j);
    }
}

TEST(ManyRuns, AnotherSeedDrawsOtherwise) {
    EXPECT_NE(drawn_run(class_two(), 1, 0).mains, drawn_run(class_two(), 2, 0).mains);
    EXPECT_NE(drawn_run(class_two(), 1, 0).mains, drawn_run(class_two(), 1, 1).mains);
}

TEST(ManyRuns, DrawsAreAsWideAsIsSaid) {
    RunVariation variation = class_two();
    double sum = 0, squares = 0, errors = 0, square_errors = 0;
    constexpr int count = 20000;
    for (std::uint64_t n = 0; n < count; ++n) {
        const OneRun run = drawn_run(variation, 11, n);
        sum += run.mains - 1;
        squares += (run.mains - 1) * (run.mains - 1);
        errors += run.sensor_error;
        square_errors += run.sensor_error * run.sensor_error;
        ASSERT_LE(std::abs(run.sensor_error), 1);
    }
    EXPECT_NEAR(sum / count, 0, 0.001);
    EXPECT_NEAR(std::sqrt(squares / count), 0.025, 0.0005);
    EXPECT_NEAR(errors / count, 0, 0.02);
    EXPECT_NEAR(square_errors / count, 1.0 / 3, 0.01); // even from −1 to 1
}

// A sensor of class 2 at 1222 C is off by up to 9.2 K, which is what the peak then varies by.
TEST(ManyRuns, ThePeakVariesWithTheSensor) {
    const auto many = simulate_many(stoneware(), class_kiln(), shelf_cones(), class_two(), 400, 1);
    EXPECT_EQ(many.stopped(), 0u);
    const double low = many.quantile(&OneRun::peak_c, 0.05);
    const double high = many.quantile(&OneRun::peak_c, 0.95);
    EXPECT_NEAR(high - low, 0.9 * 2 * 0.0075 * 1222, 2);
    EXPECT_LT(many.quantile(&OneRun::cone, 0.05), many.quantile(&OneRun::cone, 0.5));
}

} // namespace
} // namespace fettle
