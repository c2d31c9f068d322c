#include "runtime/log/log_curve.h"

#include "runtime/log/read_log.h"
#include "tests/heatwork/standard_cones.h"

#include <cmath>
#include <gtest/gtest.h>
#include <string>

namespace fettle {
namespace {

// 20 to 1220 C at 100 K/h, half an hour there, 20 minutes down to 1020 C.
const LogCurve curve{{0, 43200, 45000, 46200}, {20, 1220, 1220, 1020}};

TEST(LogCurve, TemperaturesBetweenReadings) {
    EXPECT_EQ(temperature_at(curve, -5), 20);
    EXPECT_EQ(temperature_at(curve, 3600), 120);
    EXPECT_EQ(temperature_at(curve, 45600), 1120);
    EXPECT_EQ(temperature_at(curve, 1e9), 1020);
    EXPECT_EQ(hottest(curve).celsius, 1220);
}

TEST(LogCurve, Crossings) {
    EXPECT_EQ(first_at_or_above(curve, 620, 0), 21600);
    EXPECT_EQ(first_at_or_above(curve, 620, 30000), 30000);
    EXPECT_FALSE(first_at_or_above(curve, 1221, 0));
    EXPECT_EQ(first_at_or_below(curve, 1120, 44000), 45600);
    EXPECT_EQ(last_at_or_above(curve, 1219.5, 0, 1e9), 45003);
    EXPECT_EQ(last_at_or_below(curve, 1120, 0, 45000), 39600);
    EXPECT_FALSE(last_at_or_below(curve, 10, 0, 45000));
    EXPECT_FALSE(last_at_or_below(curve, 620, 30000, 45000));
}

TEST(LogCurve, TimeWithinIsExact) {
    EXPECT_NEAR(time_within(curve, 1219, 1221), 36 + 1800 + 6, 1e-9);
    EXPECT_NEAR(time_within(curve, 1220, 1220), 1800, 1e-9);
    EXPECT_NEAR(time_within(curve, 0, 2000), 46200, 1e-9);
    EXPECT_NEAR(time_within(curve, 2000, 3000), 0, 1e-9);
    EXPECT_NEAR(time_within(part_of(curve, 43200, 44100), 1215, 1225), 900, 1e-9);
}

TEST(LogCurve, SmoothingKeepsStraightLines) {
    LogCurve climb;
    for (int i = 0; i <= 100; ++i) {
        climb.time_s.push_back(10 * i);
        climb.celsius.push_back(20 + i);
    }
    const LogCurve smooth = smoothed(climb, 120);
    for (std::size_t i = 0; i < climb.time_s.size(); ++i)
        EXPECT_NEAR(smooth.celsius[i], climb.celsius[i], 1e-9);
    climb.celsius[50] += 24;
    EXPECT_NEAR(smoothed(climb, 120).celsius[50], 70 + 2, 1e-9);
}

TEST(LogCurve, Rates) {
    EXPECT_NEAR(*steepest_rise_k_per_h(curve, 0, 1300, 600), 100, 1e-9);
    EXPECT_NEAR(*steepest_fall_k_per_h(curve, 0, 1300, 600), 600, 1e-9);
    EXPECT_FALSE(steepest_rise_k_per_h(curve, 300, 400, 600));
}

TEST(LogCurve, HeatWorkIsThatOfTheScheduleItFollows) {
    const ConeKinetics& cone = cone_at(6);
    // A log with a reading a minute, of the same firing.
    std::string text = "seconds,kiln\n";
    for (int second = 0; second <= 46200; second += 60)
        text += std::to_string(second) + "," + std::to_string(temperature_at(curve, second)) + "\n";
    const LogReading reading = read_log(text);
    const LogCurve logged = curve_of(reading, 0);
    EXPECT_NEAR(work(cone, stretches_of(logged)), work(cone, stretches_of(curve)), 1e-5);
    EXPECT_GT(work(cone, stretches_of(logged, 5)), work(cone, stretches_of(logged)));
}

TEST(LogCurve, ManyReadingsAndMissingOnes) {
    LogReading reading;
    reading.sensors.resize(1);
    for (int i = 0; i < 20000; ++i) {
        reading.time_s.push_back(i);
        reading.sensors[0].celsius.push_back(i % 7 == 0 ? std::nan("") : 20 + 0.05 * i);
    }
    const LogCurve logged = curve_of(reading, 0);
    EXPECT_LE(logged.time_s.size(), most_curve_points);
    EXPECT_GT(logged.time_s.size(), most_curve_points / 2);
    for (std::size_t i = 0; i < logged.time_s.size(); ++i)
        EXPECT_NEAR(logged.celsius[i], 20 + 0.05 * logged.time_s[i], 1e-9);
}

} // namespace
} // namespace fettle
