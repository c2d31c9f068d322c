#include "runtime/log/trend.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace fettle {
namespace {

constexpr std::size_t fewest_points = 4;

// 1 to 30 degrees of freedom, from the usual printed tables.
constexpr std::array<double, 30> t_table = {12.706, 4.303, 3.182, 2.776, 2.571, 2.447, 2.365, 2.306,
                                            2.262,  2.228, 2.201, 2.179, 2.160, 2.145, 2.131, 2.120,
                                            2.110,  2.101, 2.093, 2.086, 2.080, 2.074, 2.069, 2.064,
                                            2.060,  2.056, 2.052, 2.048, 2.045, 2.042};

} // namespace

double students_t(std::size_t degrees_of_freedom) {
    if (degrees_of_freedom == 0)
        return t_table.front();
    if (degrees_of_freedom <= t_table.size())
        return t_table[degrees_of_freedom - 1];
    // Beyond the table: the normal point and its first correction, good to 0.002 there.
    const double z = 1.959964;
    return z + (z * z * z + z) / (4 * static_cast<double>(degrees_of_freedom));
}

double Trend::uncertainty_at(double x) const {
    const double off = x - mean_x;
    return students_t(points - 2) * scatter *
           std::sqrt(1 / static_cast<double>(points) + off * off / spread_x);
}

std::optional<Trend> trend_of(std::span<const TrendPoint> points) {
    Trend trend;
    trend.points = points.size();
    if (points.size() < fewest_points)
        return std::nullopt;
    const auto count = static_cast<double>(points.size());
    double mean_y = 0;
    for (const TrendPoint& point : points) {
        trend.mean_x += point.x / count;
        mean_y += point.y / count;
    }
    double together = 0;
    for (const TrendPoint& point : points) {
        trend.spread_x += (point.x - trend.mean_x) * (point.x - trend.mean_x);
        together += (point.x - trend.mean_x) * (point.y - mean_y);
    }
    if (!(trend.spread_x > 0))
        return std::nullopt;
    trend.slope = together / trend.spread_x;
    trend.at_0 = mean_y - trend.slope * trend.mean_x;
    double left = 0;
    for (const TrendPoint& point : points) {
        const double off = point.y - trend.at(point.x);
        left += off * off;
    }
    trend.scatter = std::sqrt(left / (count - 2));
    trend.slope_error = trend.scatter / std::sqrt(trend.spread_x);
    trend.is_sure = std::fabs(trend.slope) > students_t(points.size() - 2) * trend.slope_error;
    return trend;
}

std::optional<Reaching> when_it_reaches(const Trend& trend, double value, double from_x) {
    if (!trend.is_sure || trend.slope == 0)
        return std::nullopt;
    const double sign = trend.slope > 0 ? 1 : -1;
    // How far the near edge of the band, the line and the far edge are past the value.
    const auto past = [&](double x, double edge) {
        return sign * (trend.at(x) - value) + edge * trend.uncertainty_at(x);
    };
    if (trend.slope * (value - trend.at(from_x)) < 0 && past(from_x, -1) < 0)
        return Reaching{from_x, from_x, from_x};
    const double farthest = from_x + 1000;
    const auto first = [&](double edge) -> std::optional<double> {
        if (past(from_x, edge) >= 0)
            return from_x;
        double low = from_x, high = farthest;
        if (past(high, edge) < 0)
            return std::nullopt;
        for (int step = 0; step < 60; ++step) {
            const double middle = (low + high) / 2;
            (past(middle, edge) < 0 ? low : high) = middle;
        }
        return high;
    };
    const auto line = first(0), near = first(1), far = first(-1);
    if (!line)
        return std::nullopt;
    return Reaching{*line, near.value_or(*line), far};
}

} // namespace fettle
