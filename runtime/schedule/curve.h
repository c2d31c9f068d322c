// Exact questions to the curve of a schedule (language reference, "Rules"): closed forms on
// straight segments, no stepping. Temperatures in degrees Celsius, times in seconds, rates in
// kelvin per hour.
//
// `full`, `free` and `opened` segments have no duration of their own. A question whose answer
// depends on one has the answer "unknown" (nothing), unless `Estimates::use` and the segment has
// an estimate: then it takes its estimated course, or is taken as straight where there is none.
//
// Every range is inclusive: a soak exactly at its end counts. A segment that only touches the end
// of a range on its way elsewhere spends no time there and does not count. The two ends of a range
// may be given in either order; an end that is not a number makes the answer unknown.
#pragma once

#include "runtime/schedule/schedule.h"

#include <optional>
#include <vector>

namespace fettle {

enum class Estimates : std::uint8_t { ignore, use };

// Whether an answer names its segments. `no` spares every allocation: for the many checks that
// hold.
enum class Naming : std::uint8_t { no, yes };

// The answer to a question and the segments that decide it (indices, ascending). Where the answer
// is unknown, they are the segments that keep it unknown.
struct CurveAnswer {
    std::optional<double> value;
    std::vector<std::uint32_t> segments; // empty with Naming::no
};

class Curve {
  public:
    // Costs nothing; the schedule must outlive the curve.
    explicit Curve(const Schedule& schedule, Estimates estimates = Estimates::ignore,
                   Naming naming = Naming::yes)
        : schedule_(&schedule), estimates_(estimates), naming_(naming) {}

    Naming naming() const { return naming_; }
    CurveAnswer start() const; // temperature before the first segment
    CurveAnswer peak() const;  // highest temperature reached; the start where there is no segment
    // Of everything but free and opened cooling; unknown where a `full` climb has no known time.
    CurveAnswer duration() const;
    // Of the `free` and `opened` segments: 0 where there are none.
    CurveAnswer free_cooling() const;
    // Largest climb (fall) in K/h of any part of a segment that lies between the temperatures.
    // 0 where nothing climbs (falls) there. With equal temperatures: the rate of passing it.
    CurveAnswer fastest_rise(double low_c, double high_c) const;
    CurveAnswer fastest_fall(double high_c, double low_c) const; // positive number
    // Fastest fall of the segments whose rate the firing sets; what the kiln does by itself
    // (`free`, `opened`) is left out, so that there is always an answer.
    CurveAnswer fastest_set_fall(double high_c, double low_c) const;
    // Whether any part of an `opened` segment lies between the temperatures: 1 or 0.
    CurveAnswer opened_between(double high_c, double low_c) const;
    // Where the hottest fall begins that runs with the vent so; nothing where none does.
    CurveAnswer hottest_cooling_with(Vent vent) const;
    // Time between the temperatures before the curve is first hotter than the upper one (where it
    // never is: until it last leaves its peak), soaks and falls with it. A `full` climb whose time
    // is unknown counts as no time, the cautious side of every question of "long enough".
    CurveAnswer time_on_the_way_up(double low_c, double high_c) const;
    CurveAnswer time_above(double temperature_c) const; // at it or above
    CurveAnswer time_between(double low_c, double high_c) const;
    CurveAnswer time_rising_between(double low_c, double high_c) const;  // soaks left out
    CurveAnswer time_falling_between(double high_c, double low_c) const; // soaks left out
    // Consecutive soaks count as one; 0 where there is none.
    CurveAnswer longest_soak(double low_c, double high_c) const;
    // Whether any segment runs in this atmosphere: 1 or 0. Where none was set, it runs in none.
    CurveAnswer uses(Atmosphere atmosphere) const;
    // Nothing where no segment runs in it.
    CurveAnswer lowest_temperature_in(Atmosphere atmosphere) const;
    // The vent while the curve is between the temperatures: its one value; nothing where it is
    // unknown anywhere there, or the curve is never there; the least open of them where it changes.
    struct VentAnswer {
        std::optional<Vent> value;
        std::vector<std::uint32_t> segments; // empty with Naming::no
    };
    VentAnswer vent_between(double low_c, double high_c) const;
    // The same for the segments of time_on_the_way_up.
    VentAnswer vent_on_the_way_up(double low_c, double high_c) const;

    // Start of each segment in seconds from the first (after the delay); an entry is nothing once
    // a segment before it has no (estimated) duration. One entry more than segments: the end.
    // Worked out at each call.
    std::vector<std::optional<double>> starts_s() const;
    // Temperature at a time from the first segment; nothing before it or beyond what is known.
    std::optional<double> temperature_at(double time_s) const;

    // The segment's own duration or, with Estimates::use, its estimate.
    std::optional<double> duration_of(const Segment& segment) const {
        if (segment.duration_s || estimates_ == Estimates::ignore) {
            return segment.duration_s;
        }
        return segment.estimated_duration_s;
    }

  private:
    template <typename Counts>
    CurveAnswer fastest(double a_c, double b_c, double sign, Counts counts) const;
    std::size_t segments_on_the_way_up(double high_c) const;
    VentAnswer vent_within(double low_c, double high_c, std::size_t segment_count) const;
    template <typename Counts> CurveAnswer time_within(double a_c, double b_c, Counts counts) const;
    template <typename Counts> CurveAnswer sum_of_durations(Counts counts) const;

    const Schedule* schedule_;
    Estimates estimates_;
    Naming naming_;
};

} // namespace fettle
