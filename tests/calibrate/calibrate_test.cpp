#include "runtime/calibrate/calibrate.h"
#include "runtime/kiln/many_runs.h"
#include "tests/heatwork/standard_cones.h"
#include "tests/kiln/kilns.h"

#include <cmath>
#include <gtest/gtest.h>

namespace fettle {
namespace {

// Full power, a climb that it just makes, a soak, and a fall of its own: all there is to learn
// from.
Schedule telling() {
    return Scheduled().full(900).soak(1200).ramp(1150, 170).soak(900).free(300).schedule;
}

// Invented: what a kiln reads, once a minute, with noise.
CalibrationLog fired(const KilnModel& truth, const Schedule& schedule, double noise_k,
                     std::uint64_t seed, const SimulateOptions& how = {}) {
    SimulateOptions options = how;
    options.sample_s = 60;
    const Prediction p = simulate(schedule, truth, options);
    CalibrationLog log{.schedule = schedule, .ware = truth.ware};
    std::uint64_t n = 0;
    for (const PredictedPoint& point : p.curve) {
        log.time_s.push_back(point.time_s);
        log.read_c.push_back(point.read_c + noise_k * drawn_run({.start_k = 1}, seed, n++).start_k);
    }
    return log;
}

KilnModel true_kiln() {
    KilnModel kiln = class_kiln();
    kiln.capacity_j_per_k *= 1.25;
    kiln.capacity_rise_j_per_k2 *= 1.25;
    for (LiningLayer& layer : kiln.lining) {
        layer.conductivity_w_per_m_k *= 1.2;
        layer.conductivity_rise_w_per_m_k2 *= 1.2;
    }
    kiln.direct_loss_w_per_k *= 1.2;
    kiln.power_w *= 0.9;
    return kiln;
}

TEST(Calibrate, FindsTheKilnThatMadeTheLog) {
    const KilnModel truth = true_kiln();
    const Calibration found =
        calibrate(class_kiln(), {fired(truth, telling(), 0, 1)}, shelf_cones());
    ASSERT_EQ(found.end, CalibrationEnd::fitted);
    const auto figures = profile_figures(truth);
    for (std::size_t i = 0; i < 3; ++i)
        EXPECT_NEAR(found.parameters[i].value / figures[i], 1, 0.002) << i;
    EXPECT_LT(found.rms_after_k, 0.1);
    EXPECT_GT(found.rms_before_k, 5);
    EXPECT_FALSE(found.parameters[3].fitted);
}

// With noise, each figure lies within two of its standard errors in 95 of 100 seeds.
TEST(Calibrate, IsWithinTwoStandardErrors) {
    const KilnModel truth = true_kiln();
    const auto figures = profile_figures(truth);
    constexpr std::uint64_t seeds = 30;
    int within = 0;
    double squares = 0;
    for (std::uint64_t seed = 1; seed <= seeds; ++seed) {
        const Calibration found =
            calibrate(class_kiln(), {fired(truth, telling(), 2, seed)}, shelf_cones());
        for (std::size_t i = 0; i < 3; ++i) {
            const FittedParameter& p = found.parameters[i];
            const double off = (p.value - figures[i]) / p.standard_error;
            within += std::abs(off) <= 2;
            squares += off * off;
        }
    }
    EXPECT_GE(within, std::lround(0.95 * 3 * seeds));
    // And not because the errors are told too wide.
    EXPECT_GT(squares / (3 * seeds), 0.5);
}

TEST(Calibrate, AnOffsetNeedsAnotherWitness) {
    KilnModel truth = true_kiln();
    truth.sensor_offset_k = 12;
    CalibrationLog log = fired(truth, telling(), 0.5, 3);
    const Calibration alone = calibrate(class_kiln(), {log}, shelf_cones());
    EXPECT_FALSE(alone.parameters[3].fitted);
    EXPECT_EQ(alone.parameters[3].value, 0);

    const Prediction p = simulate(log.schedule, truth);
    log.cone = predicted_cone(shelf_cones(), p).position;
    const Calibration with_cone = calibrate(class_kiln(), {log}, shelf_cones());
    ASSERT_TRUE(with_cone.parameters[3].fitted);
    EXPECT_NEAR(with_cone.parameters[3].value, 12,
                2 * with_cone.parameters[3].standard_error + 0.5);

    log.cone.reset();
    for (double t : log.time_s)
        log.true_c.push_back(*p.kiln_at_c(std::min(t, p.curve.back().time_s)));
    const Calibration second = calibrate(class_kiln(), {log}, shelf_cones());
    EXPECT_NEAR(second.parameters[3].value, 12, 0.5);
}

// A slow firing that the controller makes with ease tells hardly anything, and it is said.
TEST(Calibrate, ALogThatTellsNothingSaysSo) {
    const KilnModel truth = true_kiln();
    const Schedule easy = Scheduled().ramp(500, 40).soak(600).schedule;
    CalibrationLog log = fired(truth, easy, 2, 5, {.cool_down = false});
    const Calibration found = calibrate(class_kiln(), {log}, shelf_cones());
    ASSERT_EQ(found.end, CalibrationEnd::fitted);
    int undetermined = 0;
    for (std::size_t i = 0; i < 3; ++i)
        undetermined += !found.parameters[i].determined;
    EXPECT_GE(undetermined, 2);
}

// Logs by another model: finer, with another lining and a control of its own, and drifting noise. A
// log that was held out is predicted better by what the others taught.
TEST(Calibrate, PredictsALogThatItHasNotSeen) {
    KilnModel truth = true_kiln();
    truth.lining[0].density_kg_per_m3 = 560;
    truth.lining.push_back({0.01, 0.05, 0, 250, 1000});
    truth.control.response_s = 120;
    const SimulateOptions fine{.lining_cells = 60};
    std::vector<CalibrationLog> logs;
    logs.push_back(fired(truth, telling(), 1.5, 1, fine));
    logs.push_back(fired(truth,
                         Scheduled().ramp(700, 200).ramp(1200, 140).soak(600).free(400).schedule,
                         1.5, 2, fine));
    logs.push_back(fired(truth, Scheduled().ramp(600, 100).full(1060).soak(900).free(250).schedule,
                         1.5, 3, fine));
    const Calibration found = calibrate(class_kiln(), logs, shelf_cones());
    ASSERT_EQ(found.end, CalibrationEnd::fitted);
    for (const LogFit& fit : found.logs) {
        ASSERT_TRUE(fit.rms_held_out_k);
        EXPECT_LT(*fit.rms_held_out_k, fit.rms_before_k / 2);
    }
    EXPECT_LT(found.rms_after_k, found.rms_before_k / 3);
}

TEST(Calibrate, AlignsALogThatBeginsEarlier) {
    const KilnModel truth = true_kiln();
    CalibrationLog log = fired(truth, telling(), 0.3, 4);
    for (double& t : log.time_s)
        t += 2400;
    log.time_s.insert(log.time_s.begin(), 0);
    log.read_c.insert(log.read_c.begin(), 20);
    const Calibration found = calibrate(class_kiln(), {log}, shelf_cones());
    ASSERT_EQ(found.end, CalibrationEnd::fitted);
    EXPECT_NEAR(found.logs[0].shift_s, 2400, 240);
}

TEST(Calibrate, RefusesWhatCanNotBe) {
    EXPECT_EQ(calibrate(class_kiln(), {}, shelf_cones()).end, CalibrationEnd::no_logs);
    CalibrationLog few{.schedule = telling(), .time_s = {0, 60}, .read_c = {20, 21}};
    EXPECT_EQ(calibrate(class_kiln(), {few}, shelf_cones()).end, CalibrationEnd::too_short);
    KilnModel bad = class_kiln();
    bad.power_w = -1;
    EXPECT_EQ(calibrate(bad, {few}, shelf_cones()).end, CalibrationEnd::bad_model);
    CalibrationLog other =
        fired(class_kiln(), Scheduled().ramp(1200, 300).soak(7200).schedule, 0, 1);
    other.schedule = Scheduled().ramp(300, 20).soak(600).schedule;
    EXPECT_EQ(calibrate(class_kiln(), {other}, shelf_cones()).end, CalibrationEnd::another_firing);
}

} // namespace
} // namespace fettle
