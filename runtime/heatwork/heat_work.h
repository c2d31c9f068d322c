// The heat work of a firing, and where it stands on the cone scale.
//
// A firing is a list of straight stretches: from, to, duration; cooling adds what it adds.
// Everything is exact on them (cone_kinetics.h), free of a heap and of exceptions.
#pragma once

#include "runtime/heatwork/cone_kinetics.h"
#include "runtime/schedule/curve.h"
#include "runtime/schedule/schedule.h"

#include <array>
#include <cstddef>
#include <optional>
#include <span>
#include <vector>

namespace fettle {

struct HeatStretch {
    double from_c = 20;
    double to_c = 20;
    double duration_s = 0; // 0 or less does no work
};

// The stretches of a schedule. `full`, `free` and `opened` segments have no duration of their own:
// with Estimates::use those that have an estimate take its course, the others do no work and
// are counted, so that the answer can say what it leaves out.
struct KnownStretches {
    // One for each segment, duration 0 where it is unknown; several for an estimated course.
    std::vector<HeatStretch> stretches;
    std::size_t unknown = 0;
    double hottest_unknown_c = -300; // the hottest end of any of them
};
KnownStretches stretches_of(const Schedule& schedule, Estimates estimates = Estimates::ignore);
// Adds those of one segment; false where its time is unknown.
bool append_stretches(const Segment& segment, Estimates estimates,
                      std::vector<HeatStretch>& stretches);

// Heat work of one cone, 1 being complete. It goes on adding up beyond 1.
double work(const ConeKinetics& cone, const HeatStretch& stretch);
double work(const ConeKinetics& cone, std::span<const HeatStretch> stretches);

// The moment when a cone is complete: its stretch, seconds from the start of the first,
// temperature.
struct Completion {
    std::size_t stretch = 0;
    double time_s = 0;
    double temperature_c = 0;
};
std::optional<Completion> when_complete(const ConeKinetics& cone,
                                        std::span<const HeatStretch> stretches);

// Solved targets are rounded to 0.1 degrees and a second; from this much work on a cone is read as
// complete. (A cone itself is good to a few degrees, some tens of hundredths of its work.)
inline constexpr double complete_from = 0.98;

// A firing on the cone scale.
struct ConeReading {
    // The hottest cone that is complete (as an index of the scale); nothing below the first.
    std::optional<std::size_t> complete;
    // The next cone of the scale; nothing above the last.
    std::optional<std::size_t> next;
    // How far on towards the next, 0..1: where between the two cones the logarithm of the heat work
    // passes 0, which is the share of the temperature between their end points in a steady climb.
    // So it is 0 when a cone has just been completed and 1 when the next one is. Below the first
    // cone: its heat work itself.
    double fraction_to_next = 0;
    // The same as one number, continuous in time: −6 is cone 06, −5.75 half-way to 05½.
    double position = 0;
};

// From the heat work of each cone of the scale, coldest first.
ConeReading reading_of(const ConeScale& scale, std::span<const double> works);
ConeReading cone_reached(const ConeScale& scale, std::span<const HeatStretch> stretches);

// Adds up a firing as it goes: the player and the kiln model feed it step by step.
class HeatWork {
  public:
    explicit HeatWork(const ConeScale& scale); // which must outlive it

    void add(const HeatStretch& stretch);
    // Of the i-th cone of the scale. Exact until a hotter cone is complete, then at least 1.
    double work(std::size_t cone) const { return works_[cone]; }
    ConeReading reading() const;

  private:
    const ConeScale* scale_;
    std::size_t hottest_complete_ = 0; // colder cones are no longer added to
    std::array<double, max_cones> works_{};
};

} // namespace fettle
