#include "runtime/log/log_curve.h"

#include <algorithm>
#include <cmath>

namespace fettle {
namespace {

// The piece that a time lies in: its second point, from 1 on.
std::size_t piece_at(const LogCurve& curve, double time_s) {
    const auto after = std::upper_bound(curve.time_s.begin(), curve.time_s.end(), time_s);
    const auto index = static_cast<std::size_t>(after - curve.time_s.begin());
    return std::clamp<std::size_t>(index, 1, curve.time_s.size() - 1);
}

// Where a piece passes a temperature. It must.
double crossing(const LogCurve& curve, std::size_t piece, double celsius) {
    const double t0 = curve.time_s[piece - 1], t1 = curve.time_s[piece];
    const double c0 = curve.celsius[piece - 1], c1 = curve.celsius[piece];
    return c0 == c1 ? t0 : t0 + (t1 - t0) * (celsius - c0) / (c1 - c0);
}

// `sign` 1: at or above; −1: at or below.
std::optional<double> first_beyond(const LogCurve& curve, double celsius, double from_s,
                                   double sign) {
    if (curve.empty() || from_s > curve.ends_s())
        return std::nullopt;
    const double from = std::max(from_s, curve.begins_s());
    const auto beyond = [&](double c) { return sign * (c - celsius) >= 0; };
    if (beyond(temperature_at(curve, from)))
        return from;
    for (std::size_t i = piece_at(curve, from); i < curve.time_s.size(); ++i) {
        if (beyond(curve.celsius[i]))
            return std::max(from, crossing(curve, i, celsius));
    }
    return std::nullopt;
}

std::optional<double> last_beyond(const LogCurve& curve, double celsius, double from_s, double to_s,
                                  double sign) {
    if (curve.empty() || to_s < from_s || from_s > curve.ends_s() || to_s < curve.begins_s())
        return std::nullopt;
    const double to = std::min(to_s, curve.ends_s());
    const auto beyond = [&](double c) { return sign * (c - celsius) >= 0; };
    if (beyond(temperature_at(curve, to)))
        return to;
    for (std::size_t i = piece_at(curve, to); i >= 1; --i) {
        if (curve.time_s[i] < from_s)
            break;
        if (beyond(curve.celsius[i - 1])) {
            const double at = std::min(to, crossing(curve, i, celsius));
            return at >= from_s ? std::optional(at) : std::nullopt;
        }
    }
    return std::nullopt;
}

// Share of a straight piece that lies at or below a temperature.
double share_below(double c0, double c1, double celsius) {
    const double low = std::min(c0, c1), high = std::max(c0, c1);
    if (celsius >= high)
        return 1;
    if (celsius < low)
        return 0;
    return (celsius - low) / (high - low);
}

std::optional<double> steepest(const LogCurve& curve, double low_c, double high_c, double window_s,
                               double sign) {
    std::optional<double> found;
    std::size_t from = 0;
    const auto inside = [&](double c) { return c >= low_c && c <= high_c; };
    for (std::size_t to = 1; to < curve.time_s.size(); ++to) {
        while (from + 1 < to && curve.time_s[to] - curve.time_s[from + 1] >= window_s)
            ++from;
        const double span = curve.time_s[to] - curve.time_s[from];
        if (span < window_s || !inside(curve.celsius[from]) || !inside(curve.celsius[to]))
            continue;
        const double rate = sign * (curve.celsius[to] - curve.celsius[from]) / span * 3600;
        if (!found || rate > *found)
            found = rate;
    }
    return found;
}

} // namespace

LogCurve curve_of(const LogReading& reading, std::size_t sensor) {
    const std::vector<double>& all = reading.sensors[sensor].celsius;
    LogCurve curve;
    const double width = reading.time_s.size() <= most_curve_points || reading.time_s.empty()
                             ? 0
                             : (reading.time_s.back() - reading.time_s.front()) /
                                   static_cast<double>(most_curve_points - 2);
    double end = -1, time_sum = 0, sum = 0, count = 0;
    const auto close = [&] {
        if (count == 0)
            return;
        curve.time_s.push_back(time_sum / count);
        curve.celsius.push_back(sum / count);
        time_sum = sum = count = 0;
    };
    for (std::size_t i = 0; i < all.size(); ++i) {
        if (std::isnan(all[i]))
            continue;
        const double time = reading.time_s[i];
        if (width == 0 || time >= end) {
            close();
            end = width == 0 ? 0 : width * (std::floor(time / width) + 1);
        }
        time_sum += time;
        sum += all[i];
        ++count;
    }
    close();
    return curve;
}

LogCurve smoothed(const LogCurve& curve, double window_s) {
    LogCurve result = curve;
    if (curve.empty())
        return result;
    // Degree-seconds from the first point: the mean over a window is a difference of two of them.
    std::vector<double> sums(curve.time_s.size(), 0);
    for (std::size_t i = 1; i < sums.size(); ++i)
        sums[i] = sums[i - 1] + (curve.time_s[i] - curve.time_s[i - 1]) *
                                    (curve.celsius[i] + curve.celsius[i - 1]) / 2;
    const auto sum_to = [&](double time) {
        const std::size_t piece = piece_at(curve, time);
        const double into = time - curve.time_s[piece - 1];
        return sums[piece - 1] +
               into * (curve.celsius[piece - 1] + temperature_at(curve, time)) / 2;
    };
    for (std::size_t i = 0; i < sums.size(); ++i) {
        // The same to both sides, so that a straight climb stays where it is.
        const double half = std::min(
            {window_s / 2, curve.time_s[i] - curve.begins_s(), curve.ends_s() - curve.time_s[i]});
        if (half > 0)
            result.celsius[i] =
                (sum_to(curve.time_s[i] + half) - sum_to(curve.time_s[i] - half)) / (2 * half);
    }
    return result;
}

double temperature_at(const LogCurve& curve, double time_s) {
    if (time_s <= curve.begins_s())
        return curve.celsius.front();
    if (time_s >= curve.ends_s())
        return curve.celsius.back();
    const std::size_t piece = piece_at(curve, time_s);
    const double t0 = curve.time_s[piece - 1], t1 = curve.time_s[piece];
    return curve.celsius[piece - 1] +
           (curve.celsius[piece] - curve.celsius[piece - 1]) * (time_s - t0) / (t1 - t0);
}

LogCurve part_of(const LogCurve& curve, double from_s, double to_s) {
    LogCurve part;
    if (curve.empty() || to_s <= curve.begins_s() || from_s >= curve.ends_s() || to_s <= from_s)
        return part;
    const double from = std::max(from_s, curve.begins_s()), to = std::min(to_s, curve.ends_s());
    const auto add = [&](double time, double celsius) {
        part.time_s.push_back(time);
        part.celsius.push_back(celsius);
    };
    add(from, temperature_at(curve, from));
    for (std::size_t i = 0; i < curve.time_s.size(); ++i) {
        if (curve.time_s[i] > from && curve.time_s[i] < to)
            add(curve.time_s[i], curve.celsius[i]);
    }
    add(to, temperature_at(curve, to));
    return part;
}

LogExtreme hottest(const LogCurve& curve) {
    const auto at = std::max_element(curve.celsius.begin(), curve.celsius.end());
    return {*at, curve.time_s[static_cast<std::size_t>(at - curve.celsius.begin())]};
}

std::optional<double> first_at_or_above(const LogCurve& curve, double celsius, double from_s) {
    return first_beyond(curve, celsius, from_s, 1);
}
std::optional<double> first_at_or_below(const LogCurve& curve, double celsius, double from_s) {
    return first_beyond(curve, celsius, from_s, -1);
}
std::optional<double> last_at_or_below(const LogCurve& curve, double celsius, double from_s,
                                       double to_s) {
    return last_beyond(curve, celsius, from_s, to_s, -1);
}
std::optional<double> last_at_or_above(const LogCurve& curve, double celsius, double from_s,
                                       double to_s) {
    return last_beyond(curve, celsius, from_s, to_s, 1);
}

double time_within(const LogCurve& curve, double low_c, double high_c) {
    double time = 0;
    for (std::size_t i = 1; i < curve.time_s.size(); ++i) {
        const double c0 = curve.celsius[i - 1], c1 = curve.celsius[i];
        // What lies at or below the high end, less what lies truly below the low one.
        double share = share_below(c0, c1, high_c) - (1 - share_below(-c0, -c1, -low_c));
        time += std::max(0.0, share) * (curve.time_s[i] - curve.time_s[i - 1]);
    }
    return time;
}

std::optional<double> steepest_rise_k_per_h(const LogCurve& curve, double low_c, double high_c,
                                            double window_s) {
    return steepest(curve, low_c, high_c, window_s, 1);
}
std::optional<double> steepest_fall_k_per_h(const LogCurve& curve, double low_c, double high_c,
                                            double window_s) {
    return steepest(curve, low_c, high_c, window_s, -1);
}

std::vector<HeatStretch> stretches_of(const LogCurve& curve, double shift_k) {
    std::vector<HeatStretch> stretches;
    if (curve.empty())
        return stretches;
    stretches.reserve(curve.time_s.size() - 1);
    for (std::size_t i = 1; i < curve.time_s.size(); ++i)
        stretches.push_back({curve.celsius[i - 1] + shift_k, curve.celsius[i] + shift_k,
                             curve.time_s[i] - curve.time_s[i - 1]});
    return stretches;
}

} // namespace fettle
