#include "runtime/log/log_points.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace fettle {

LogPoints::LogPoints(std::size_t sensors, std::size_t most)
    : most_(std::max<std::size_t>(most, 16)), values_(sensors) {
    open_.sums.resize(sensors);
    open_.counts.resize(sensors);
}

void LogPoints::add(double time, std::span<const double> values) {
    if (times_.empty() && open_.rows == 0)
        first_ = time;
    if (times_.size() >= most_)
        coarsen();
    if (width_ == 0)
        keep(time, values, 1);
    else
        put_mean(time, values, 1);
}

void LogPoints::keep(double time, std::span<const double> values, std::uint32_t rows) {
    times_.push_back(time);
    rows_.push_back(rows);
    for (std::size_t i = 0; i < values_.size(); ++i)
        values_[i].push_back(values[i]);
}

void LogPoints::put_mean(double time, std::span<const double> values, std::uint64_t rows) {
    if (time >= bin_end_) {
        close_mean();
        bin_end_ = first_ + width_ * (std::floor((time - first_) / width_) + 1);
    }
    const auto weight = static_cast<double>(rows);
    open_.time_sum += weight * (time - first_);
    open_.rows += rows;
    for (std::size_t i = 0; i < values_.size(); ++i) {
        if (!std::isnan(values[i])) {
            open_.sums[i] += weight * values[i];
            open_.counts[i] += rows;
        }
    }
}

void LogPoints::close_mean() {
    if (open_.rows == 0)
        return;
    std::vector<double>& sums = open_.sums;
    for (std::size_t i = 0; i < sums.size(); ++i)
        sums[i] = open_.counts[i] == 0 ? std::numeric_limits<double>::quiet_NaN()
                                       : sums[i] / static_cast<double>(open_.counts[i]);
    const double time = first_ + open_.time_sum / static_cast<double>(open_.rows);
    const auto rows = static_cast<std::uint32_t>(
        std::min<std::uint64_t>(open_.rows, std::numeric_limits<std::uint32_t>::max()));
    open_.time_sum = 0;
    open_.rows = 0;
    std::fill(open_.counts.begin(), open_.counts.end(), 0);
    keep(time, sums, rows);
    std::fill(sums.begin(), sums.end(), 0);
}

// Twice the width, and all points so far again: half of them or little more are left, and the last
// stretch stays open.
void LogPoints::coarsen() {
    close_mean();
    const double span = times_.back() - first_;
    const double needed = span > 0 ? 2 * span / static_cast<double>(most_) : 1;
    width_ = std::max(2 * width_, needed);
    const std::vector<double> times = std::move(times_);
    const std::vector<std::uint32_t> rows = std::move(rows_);
    const std::vector<std::vector<double>> values = std::move(values_);
    times_.clear();
    rows_.clear();
    values_.assign(values.size(), {});
    bin_end_ = first_ + width_;
    std::vector<double> row(values.size());
    for (std::size_t at = 0; at < times.size(); ++at) {
        for (std::size_t i = 0; i < row.size(); ++i)
            row[i] = values[i][at];
        put_mean(times[at], row, rows[at]);
    }
}

void LogPoints::finish() {
    close_mean();
}

} // namespace fettle
