// A log's readings in bounded memory: as they come while there are few, as means over equal times
// when there are many.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

namespace fettle {

class LogPoints {
  public:
    // At least 16 are kept.
    LogPoints(std::size_t sensors, std::size_t most);

    // Times rise. A reading that is no number is one that is missing.
    void add(double time, std::span<const double> values);
    void finish(); // once, after the last

    const std::vector<double>& times() const { return times_; }
    std::vector<double>& times() { return times_; }
    std::vector<double>& values(std::size_t sensor) { return values_[sensor]; }
    double width() const { return width_; } // over which means were taken; 0: none were

  private:
    struct Mean {
        double time_sum = 0;
        std::uint64_t rows = 0;
        std::vector<double> sums;
        std::vector<std::uint64_t> counts;
    };
    void keep(double time, std::span<const double> values, std::uint32_t rows);
    void put_mean(double time, std::span<const double> values, std::uint64_t rows);
    void close_mean();
    void coarsen();

    std::size_t most_;
    double width_ = 0;
    double first_ = 0;
    double bin_end_ = 0;
    Mean open_;
    std::vector<double> times_;
    std::vector<std::uint32_t> rows_; // behind each point
    std::vector<std::vector<double>> values_;
};

} // namespace fettle
