// One sensor of a log as a curve: straight between its readings, with its heat work and the
// questions that a judgement asks. Times in seconds from the log's first reading.
#pragma once

#include "runtime/heatwork/heat_work.h"
#include "runtime/log/log_reading.h"

#include <cstddef>
#include <optional>
#include <vector>

namespace fettle {

inline constexpr std::size_t most_curve_points = 4096;

struct LogCurve {
    std::vector<double> time_s; // rising
    std::vector<double> celsius;

    bool empty() const { return time_s.size() < 2; }
    double begins_s() const { return time_s.front(); }
    double ends_s() const { return time_s.back(); }
};

// Readings that are no number are left out: the curve is straight across. More than
// most_curve_points become means over equal times, which takes the noise out (its mean does no heat
// work, but its peaks would).
LogCurve curve_of(const LogReading& reading, std::size_t sensor);

// Each point the mean over so many seconds around it, straight pieces weighed by their time.
LogCurve smoothed(const LogCurve& curve, double window_s);

// Held at its ends outside of the log.
double temperature_at(const LogCurve& curve, double time_s);

// The part between two times, which may lie anywhere.
LogCurve part_of(const LogCurve& curve, double from_s, double to_s);

struct LogExtreme {
    double celsius = 0;
    double time_s = 0;
};
LogExtreme hottest(const LogCurve& curve);

// First time from `from_s` on at which the curve is at the temperature or above (below).
std::optional<double> first_at_or_above(const LogCurve& curve, double celsius, double from_s);
std::optional<double> first_at_or_below(const LogCurve& curve, double celsius, double from_s);
// Last time between two times at which the curve is at the temperature or below (above).
std::optional<double> last_at_or_below(const LogCurve& curve, double celsius, double from_s,
                                       double to_s);
std::optional<double> last_at_or_above(const LogCurve& curve, double celsius, double from_s,
                                       double to_s);

// Time spent between two temperatures, ends included.
double time_within(const LogCurve& curve, double low_c, double high_c);

// The steepest climb over any `window_s` of those parts that lie between two temperatures; the
// steepest fall as a positive number. Nothing: no stretch of that length lies there.
std::optional<double> steepest_rise_k_per_h(const LogCurve& curve, double low_c, double high_c,
                                            double window_s);
std::optional<double> steepest_fall_k_per_h(const LogCurve& curve, double low_c, double high_c,
                                            double window_s);

// For heat work, `shift_k` added to every temperature (a shelf hotter than the sensor).
std::vector<HeatStretch> stretches_of(const LogCurve& curve, double shift_k = 0);

} // namespace fettle
