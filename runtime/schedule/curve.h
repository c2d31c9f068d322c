// Exact questions to the curve of a schedule (language reference, "Rules"): closed forms on straight
// segments, no stepping. Temperatures in degrees Celsius, times in seconds, rates in kelvin per hour.
//
// `full`, `free` and `opened` segments have no duration of their own. A question whose answer
// depends on one has the answer "unknown" (nothing), unless `Estimates::use` and the segment has
// an estimate, when it is taken as straight.
#pragma once

#include "runtime/schedule/schedule.h"

#include <optional>
#include <span>
#include <vector>

namespace fettle {

enum class Estimates : std::uint8_t { ignore, use };

// The answer to a question and the segments that decide it (indices, ascending).
struct CurveAnswer {
    std::optional<double> value;
    std::vector<std::uint32_t> segments;
};

class Curve {
  public:
    explicit Curve(const Schedule& schedule, Estimates estimates = Estimates::ignore);

    CurveAnswer peak() const;     // highest temperature reached
    CurveAnswer duration() const; // of all segments with a duration; see free_cooling
    // Largest climb (fall) in K/h of any part of a segment that lies between the temperatures.
    // 0 where nothing climbs (falls) there. A `full` segment makes it unknown.
    CurveAnswer fastest_rise(double low_c, double high_c) const;
    CurveAnswer fastest_fall(double high_c, double low_c) const; // positive number
    CurveAnswer time_above(double temperature_c) const;
    CurveAnswer time_between(double low_c, double high_c) const;
    CurveAnswer time_rising_between(double low_c, double high_c) const;
    CurveAnswer time_falling_between(double low_c, double high_c) const;
    CurveAnswer longest_soak(double low_c, double high_c) const; // consecutive soaks count as one
    // Whether any segment runs in this atmosphere: 1 or 0.
    CurveAnswer uses(Atmosphere atmosphere) const;
    // Nothing where no segment runs in it.
    CurveAnswer lowest_temperature_in(Atmosphere atmosphere) const;
    // The vent while the curve is between the temperatures: its one value; nothing where it is
    // unknown anywhere there; the least open of them where it changes.
    struct VentAnswer {
        std::optional<Vent> value;
        std::vector<std::uint32_t> segments;
    };
    VentAnswer vent_between(double low_c, double high_c) const;

    // Start of each segment in seconds from the first (after the delay); an entry is nothing once
    // a segment before it has no (estimated) duration. One entry more than segments: the end.
    const std::vector<std::optional<double>>& starts_s() const { return starts_s_; }
    // Temperature at a time from the first segment; nothing beyond what is known.
    std::optional<double> temperature_at(double time_s) const;

  private:
    const Schedule* schedule_;
    Estimates estimates_;
    std::vector<std::optional<double>> starts_s_;
};

} // namespace fettle
