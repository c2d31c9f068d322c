// A straight trend through a few points, and when it will have gone too far, with how sure that is.
//
// Ordinary least squares, y = a + b·x, with Student's t for so few points (Draper & Smith, Applied
// Regression Analysis, chapter 1). A slope that could as well be chance (5 % level) is no trend.
#pragma once

#include <cstddef>
#include <optional>
#include <span>

namespace fettle {

struct TrendPoint {
    double x = 0;
    double y = 0;
};

struct Trend {
    std::size_t points = 0;
    double at_0 = 0;  // a
    double slope = 0; // b
    double slope_error = 0;
    double scatter = 0; // of the points about the line, one standard deviation
    double mean_x = 0;
    double spread_x = 0;  // Σ (x − mean)²
    bool is_sure = false; // the slope is not chance

    double at(double x) const { return at_0 + slope * x; }
    // Half the width of the 95 % band of the line itself there.
    double uncertainty_at(double x) const;
};

// Nothing: fewer than four points, or all at one x.
std::optional<Trend> trend_of(std::span<const TrendPoint> points);

// Where the line passes a value, and the stretch of x in which its 95 % band does. Nothing where
// the trend is not sure or leads away from the value. `latest` may be nothing: perhaps never.
struct Reaching {
    double x = 0;
    double earliest = 0;
    std::optional<double> latest;
};
std::optional<Reaching> when_it_reaches(const Trend& trend, double value, double from_x);

// The 97.5 % point of Student's t (two-sided 5 %).
double students_t(std::size_t degrees_of_freedom);

} // namespace fettle
