#include "compiler/lowering/expectations.h"

#include "compiler/units/quantity.h"
#include "runtime/heatwork/cone_target.h"
#include "runtime/schedule/curve.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

namespace fettle {
namespace {

// Common practice: the last water clings to about 200C, and 600C is past the quartz inversion.
constexpr double dry_c = 200;
constexpr double dark_below_c = 600;
// The heat work of the top counts as begun from this share on.
constexpr double begun = 0.01;
constexpr std::array shares = {0.25, 0.5, 0.75, 0.9};
// How far the kiln is taken to have fallen before it climbs again. Work below does not count much.
constexpr double fallen_k = 100;

using Stretches = std::span<const HeatStretch>;

// One for each segment, each taken as straight; cooling that is left to the kiln is left out, as it
// is from the reading.
std::vector<HeatStretch> straight_stretches(const Schedule& schedule) {
    std::vector<HeatStretch> stretches;
    stretches.reserve(schedule.segments.size());
    for (const Segment& segment : schedule.segments) {
        const auto duration =
            segment.kind == SegmentKind::full ? segment.estimated_duration_s : segment.duration_s;
        stretches.push_back({segment.from_c, segment.to_c, duration.value_or(0)});
    }
    return stretches;
}

// A moment by the stretches, in which a segment without a known time takes none.
struct Moment {
    std::size_t stretch = 0;
    double into_s = 0; // from the start of that stretch
};

double temperature_at(Stretches stretches, Moment moment) {
    const HeatStretch& stretch = stretches[moment.stretch];
    if (!(stretch.duration_s > 0))
        return stretch.from_c;
    return stretch.from_c + (stretch.to_c - stretch.from_c) * moment.into_s / stretch.duration_s;
}

double work_until(const ConeKinetics& cone, Stretches stretches, Moment moment) {
    HeatStretch last = stretches[moment.stretch];
    last.to_c = temperature_at(stretches, moment);
    last.duration_s = moment.into_s;
    return work(cone, stretches.first(moment.stretch)) + work(cone, last);
}

// When the cone has had so much heat work; the end where it never has.
Moment moment_of_work(const ConeKinetics& cone, Stretches stretches, double wanted) {
    double before = 0;
    for (std::size_t i = 0; i < stretches.size(); ++i) {
        const double here = work(cone, stretches[i]);
        if (before + here < wanted) {
            before += here;
            continue;
        }
        double low = 0, high = stretches[i].duration_s;
        while (high - low > 0.5) {
            const double middle = (low + high) / 2;
            (work_until(cone, stretches, {i, middle}) < wanted ? low : high) = middle;
        }
        return {i, high};
    }
    return {stretches.size() - 1, stretches.back().duration_s};
}

class Expectations {
  public:
    Expectations(const ConeScale& scale, const ConeReading& reading, FiringDocument& document)
        : scale_(scale), reading_(reading), document_(document), schedule_(*document.schedule),
          all_(straight_stretches(schedule_)),
          starts_s_(Curve(schedule_, Estimates::use).starts_s()) {}

    void fill() {
        fill_cones();
        find_top();
        fill_interruptions();
    }

  private:
    // --- cones ---

    bool is_whole(std::size_t index) const {
        const double cone = scale_.cones[index].cone;
        return cone == std::round(cone);
    }

    // The next whole cone from `index` in a direction; halves are rarely at hand.
    std::optional<std::size_t> whole_cone(std::size_t index, int direction) const {
        for (auto at = static_cast<std::ptrdiff_t>(index) + direction;
             at >= 0 && at < static_cast<std::ptrdiff_t>(scale_.cones.size()); at += direction) {
            if (is_whole(static_cast<std::size_t>(at)))
                return static_cast<std::size_t>(at);
        }
        return std::nullopt;
    }

    std::optional<double> known_time(std::size_t stretch, double into_s) const {
        if (!starts_s_[stretch])
            return std::nullopt;
        return *starts_s_[stretch] + into_s;
    }

    void add_cone(std::size_t index) {
        const ConeKinetics& cone = scale_.cones[index];
        ConeExpected expected{.cone = document_.kept.keep(cone_name(cone.cone))};
        expected.falls = reading_.complete && index <= *reading_.complete;
        if (expected.falls) {
            // What is read as complete within rounding falls when it has had most of its work.
            const Moment moment =
                moment_of_work(cone, all_, std::min(1.0, work(cone, all_) * (1 - 1e-9)));
            expected.at_c = temperature_at(all_, moment);
            expected.falls_s = known_time(moment.stretch, moment.into_s);
        }
        document_.cones_expected.push_back(expected);
    }

    void fill_cones() {
        if (!reading_.complete || all_.empty())
            return;
        const std::size_t target = *reading_.complete;
        if (const auto guide = whole_cone(target, -1))
            add_cone(*guide);
        add_cone(target);
        if (const auto guard = whole_cone(target, +1))
            add_cone(*guard);
    }

    // --- the top ---

    void find_top() {
        double peak_c = schedule_.start_c;
        for (const Segment& segment : schedule_.segments)
            peak_c = std::max(peak_c, segment.to_c);
        for (std::size_t i = 0; i < schedule_.segments.size(); ++i) {
            if (schedule_.segments[i].to_c == peak_c)
                after_top_ = i + 1;
        }
        peak_c_ = peak_c;
        top_ = Stretches(all_).first(after_top_);
        if (!reading_.complete || after_top_ == 0)
            return;
        cone_ = &scale_.cones[*reading_.complete];
        top_work_ = work(*cone_, top_);
        if (top_work_ < 0.5) { // it is a hold after the top that completes the cone
            cone_ = nullptr;
            return;
        }
        near_top_ = moment_of_work(*cone_, top_, begun * top_work_);
    }

    bool is_near_top(std::size_t segment) const {
        return cone_ != nullptr && segment < after_top_ && segment >= near_top_.stretch;
    }

    // The climb that the moment is in, or that led to it.
    std::optional<double> climb_rate(std::size_t segment) const {
        for (std::size_t i = segment + 1; i-- > 0;) {
            const Segment& at = schedule_.segments[i];
            if (at.kind == SegmentKind::full)
                return std::nullopt;
            if (at.kind == SegmentKind::ramp && at.to_c > at.from_c)
                return at.rate_k_per_h();
        }
        return std::nullopt;
    }

    double soak_at_peak_s() const {
        double soak_s = 0;
        for (std::size_t i = 0; i < after_top_; ++i) {
            const Segment& segment = schedule_.segments[i];
            if (segment.kind == SegmentKind::soak && segment.to_c == peak_c_)
                soak_s += segment.duration_s.value_or(0);
        }
        return soak_s;
    }

    static double to_minute(double seconds) { return std::round(seconds / 60) * 60; }

    HeatWorkLeft left_after(Moment moment) const {
        HeatWorkLeft left;
        left.reached_c = temperature_at(all_, moment);
        if (schedule_.segments[moment.stretch].kind == SegmentKind::soak)
            left.soaked_s = to_minute(moment.into_s);
        left.at_s = known_time(moment.stretch, moment.into_s);
        const double done = work_until(*cone_, all_, moment);
        left.done = std::clamp(done / top_work_, 0.0, 1.0);
        left.rate_k_per_h = climb_rate(moment.stretch);
        // The solver knows "complete" as 1; the top of this firing gives top_work_.
        const double so_far = 1 - (top_work_ - done);
        const double from_c = left.reached_c - fallen_k, soak_s = soak_at_peak_s();
        if (!left.rate_k_per_h) {
            left.climb_to_c = peak_c_;
            left.soak_s = to_minute(solve_soak_duration(*cone_, peak_c_, so_far).duration_s);
            return left;
        }
        ConeTarget target =
            solve_ramp_target_with_soak(*cone_, from_c, *left.rate_k_per_h, soak_s, so_far);
        left.soak_s = to_minute(soak_s);
        if (soak_s <= 0 || target.outcome != TargetOutcome::solved) {
            target = solve_ramp_target(*cone_, from_c, *left.rate_k_per_h, so_far);
            left.soak_s = 0;
        }
        left.climb_to_c = target.outcome == TargetOutcome::solved
                              ? std::min(std::round(target.temperature_c), peak_c_)
                              : left.reached_c;
        return left;
    }

    // --- interruptions ---

    bool is_left_alone(const Segment& segment) const {
        return segment.kind == SegmentKind::free || segment.kind == SegmentKind::opened;
    }

    bool reduces(const Segment& segment) const {
        return schedule_.states[segment.state].atmosphere == Atmosphere::reduction;
    }

    Interruption interruption(Interrupted kind, std::size_t begin, std::size_t end) const {
        const auto& segments = schedule_.segments;
        Interruption made{.kind = kind,
                          .phase = segments[begin].phase,
                          .from_c = segments[begin].from_c,
                          .to_c = segments[end - 1].to_c};
        for (std::size_t i = begin; i < end; ++i) {
            if (reduces(segments[i])) {
                made.reduction_from_c =
                    std::min({made.reduction_from_c.value_or(segments[i].from_c),
                              segments[i].from_c, segments[i].to_c});
            }
        }
        return made;
    }

    // The bands of temperature that the phase climbs through; a narrow one goes with the next.
    void add_rising(std::size_t begin, std::size_t end) {
        struct Band {
            Interrupted kind;
            double up_to_c;
        };
        const bool reaches_top = is_near_top(end - 1);
        const Interruption whole = interruption(Interrupted::red, begin, end);
        const double end_c = reaches_top ? temperature_at(all_, near_top_) : whole.to_c;
        const double narrow_k = 0.15 * (whole.to_c - whole.from_c);
        double from_c = whole.from_c;
        const std::size_t before = document_.interruptions.size();
        for (const Band& band :
             {Band{Interrupted::drying, dry_c}, Band{Interrupted::dark, dark_below_c},
              Band{Interrupted::red, hottest_c}}) {
            double up_to_c = std::min(band.up_to_c, end_c);
            if (end_c - up_to_c < narrow_k)
                up_to_c = end_c;
            const bool only = end_c - from_c < narrow_k;
            if (up_to_c - from_c < narrow_k && !only)
                continue;
            if (up_to_c <= from_c)
                continue;
            Interruption made = whole;
            made.kind = band.kind;
            made.from_c = std::exchange(from_c, up_to_c);
            made.to_c = up_to_c;
            document_.interruptions.push_back(std::move(made));
        }
        if (reaches_top)
            add_near_top(begin, end);
        if (document_.interruptions.size() == before) { // it stays, or falls
            Interruption made = whole;
            made.kind = whole.to_c <= dry_c          ? Interrupted::drying
                        : whole.to_c <= dark_below_c ? Interrupted::dark
                                                     : Interrupted::red;
            document_.interruptions.push_back(std::move(made));
        }
    }

    void add_near_top(std::size_t begin, std::size_t end) {
        Interruption made = interruption(Interrupted::near_top, begin, end);
        const Moment first = begin > near_top_.stretch ? Moment{begin, 0} : near_top_;
        made.from_c = temperature_at(all_, first);
        if (begin <= near_top_.stretch)
            made.left.push_back(left_after(first));
        for (double share : shares) {
            const Moment moment = moment_of_work(*cone_, top_, share * top_work_);
            const bool later = moment.stretch > first.stretch ||
                               (moment.stretch == first.stretch && moment.into_s > first.into_s);
            if (moment.stretch >= begin && moment.stretch < end && later)
                made.left.push_back(left_after(moment));
        }
        if (made.left.empty())
            made.left.push_back(left_after(first));
        document_.interruptions.push_back(std::move(made));
    }

    void add_after_top(std::size_t begin, std::size_t end) {
        bool alone = true, climbs = false;
        double lowest_c = schedule_.segments[begin].from_c, highest_c = -1000;
        for (std::size_t i = begin; i < end; ++i) {
            const Segment& segment = schedule_.segments[i];
            alone = alone && is_left_alone(segment);
            climbs = climbs || segment.to_c > segment.from_c;
            lowest_c = std::min(lowest_c, segment.to_c);
            highest_c = std::max(highest_c, i > begin ? segment.to_c : lowest_c);
        }
        Interruption made = interruption(alone    ? Interrupted::cooling
                                         : climbs ? Interrupted::held_climbing
                                                  : Interrupted::held_falling,
                                         begin, end);
        made.to_c = lowest_c;
        made.reduction_from_c.reset(); // nothing is climbed again
        if (climbs)
            made.from_c = highest_c; // as far up as the firing itself goes
        document_.interruptions.push_back(std::move(made));
    }

    void fill_interruptions() {
        const auto& segments = schedule_.segments;
        for (std::size_t begin = 0, end = 0; begin < segments.size(); begin = end) {
            end = begin + 1;
            while (end < segments.size() && segments[end].phase == segments[begin].phase &&
                   end != after_top_) {
                ++end;
            }
            begin < after_top_ ? add_rising(begin, end) : add_after_top(begin, end);
        }
    }

    const ConeScale& scale_;
    const ConeReading& reading_;
    FiringDocument& document_;
    const Schedule& schedule_;
    std::vector<HeatStretch> all_;
    std::vector<std::optional<double>> starts_s_;
    std::size_t after_top_ = 0; // the segment after the last that ends at the peak
    double peak_c_ = 0;
    Stretches top_;                      // up to there
    const ConeKinetics* cone_ = nullptr; // whose heat work is told; nothing: none is complete
    double top_work_ = 0;                // that it has had there
    Moment near_top_;                    // from where on it counts
};

} // namespace

void fill_expectations(const ConeScale& scale, const ConeReading& reading,
                       FiringDocument& document) {
    Expectations(scale, reading, document).fill();
}

} // namespace fettle
