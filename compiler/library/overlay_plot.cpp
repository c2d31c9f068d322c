#include "compiler/library/overlay_plot.h"

#include "compiler/output/curve_svg.h"
#include "compiler/output/plot_shape.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace fettle {
namespace {

constexpr std::size_t axis = 7; // "1000C |"

double temperature_at(const std::vector<CurvePoint>& points, double time_s) {
    const auto after = std::find_if(points.begin(), points.end(), [&](const CurvePoint& point) {
        return point.time_s >= time_s;
    });
    if (after == points.begin())
        return after->temperature_c;
    const CurvePoint& a = after[-1];
    const CurvePoint& b = *after;
    const double span = b.time_s - a.time_s;
    return span <= 0
               ? b.temperature_c
               : a.temperature_c + (b.temperature_c - a.temperature_c) * (time_s - a.time_s) / span;
}

} // namespace

std::vector<std::string> plot_both(const Schedule& before, const Schedule& after, std::size_t width,
                                   std::size_t height) {
    const std::vector<CurvePoint> curves[] = {curve_points(before).points,
                                              curve_points(after).points};
    double end_s = 0;
    double high = 0;
    double low = 1e9;
    for (const auto& points : curves) {
        if (points.size() < 2)
            return {};
        end_s = std::max(end_s, points.back().time_s);
        for (const CurvePoint& point : points) {
            high = std::max(high, point.temperature_c);
            low = std::min(low, point.temperature_c);
        }
    }
    const std::size_t columns = std::max<std::size_t>(width, 30) - axis - 1;
    std::vector<std::string> rows(height, std::string(columns, ' '));
    for (std::size_t column = 0; column < columns; ++column) {
        const double time_s =
            end_s * static_cast<double>(column) / static_cast<double>(columns - 1);
        for (int which = 0; which < 2; ++which) {
            if (time_s > curves[which].back().time_s)
                continue;
            const double share =
                (temperature_at(curves[which], time_s) - low) / std::max(high - low, 1.0);
            const auto row = static_cast<std::size_t>(
                std::lround((1 - share) * static_cast<double>(height - 1)));
            char& mark = rows[std::min(row, height - 1)][column];
            mark = which == 0 ? 'o' : (mark == ' ' ? '*' : '=');
        }
    }
    std::vector<std::string> lines;
    for (std::size_t row = 0; row < height; ++row) {
        const double temperature =
            high - (high - low) * static_cast<double>(row) / static_cast<double>(height - 1);
        const bool labelled = row % 4 == 0 || row + 1 == height;
        lines.push_back(fmt::format("{:>5} |{}",
                                    labelled ? fmt::format("{:.0f}C", temperature) : "",
                                    rows[row].substr(0, rows[row].find_last_not_of(' ') + 1)));
    }
    std::string times(columns + 8, ' ');
    const double hours = end_s / 3600;
    const double step = hours_step(hours, columns / 8);
    for (double at = 0; at <= hours; at += step) {
        const std::string label = fmt::format("{:g}h", at);
        const auto place = static_cast<std::size_t>(at / hours * static_cast<double>(columns - 1));
        if (place + label.size() <= columns)
            times.replace(place, label.size(), label);
    }
    lines.push_back(fmt::format("{:>5} +{}", "", std::string(columns, '-')));
    lines.push_back(fmt::format("{:>7}{}", "", times.substr(0, times.find_last_not_of(' ') + 1)));
    return lines;
}

} // namespace fettle
