#include "compiler/target/stretches.h"

#include "compiler/target/heat_aim.h"

#include <algorithm>
#include <cmath>

namespace fettle {

namespace {

constexpr double whole = 1e-9;     // of a step: what counts as a whole number of them
constexpr double same_k = 1e-6;    // temperatures that are one
constexpr double same_rate = 1e-9; // relative

double up(double value, double step) {
    return std::ceil(value / step - whole) * step;
}
double down(double value, double step) {
    return std::floor(value / step + whole) * step;
}
double nearest(double value, double step) {
    return std::round(value / step) * step;
}

enum class Towards : std::uint8_t { nearest, lower, higher };

double rounded(double value, double step, Towards towards) {
    switch (towards) {
    case Towards::nearest: return nearest(value, step);
    case Towards::lower: return down(value, step);
    case Towards::higher: return up(value, step);
    }
    return value;
}

// Signed, K/h; what takes its own time is faster than anything.
double rate_of(const Stretch& stretch) {
    const double rise = stretch.to_c - stretch.from_c;
    if (stretch.kind == SegmentKind::soak) {
        return 0;
    }
    return stretch.duration_s ? rise / *stretch.duration_s * 3600 : rise * 1e9;
}

// Where `before` and `after` meet: so that the slower of two climbs (falls) is the longer.
Towards direction(const Stretch& before, const Stretch& after) {
    const double a = rate_of(before), b = rate_of(after);
    if (a * b <= 0 || std::fabs(a - b) <= same_rate * std::fabs(a)) {
        return Towards::nearest;
    }
    const bool slower_first = std::fabs(a) < std::fabs(b);
    return slower_first == (a > 0) ? Towards::higher : Towards::lower;
}

// How the peak and the soak there are rounded.
struct PeakChoice {
    Towards temperature = Towards::nearest;
    Towards soak = Towards::nearest;
};

class Rounding {
  public:
    Rounding(const std::vector<Stretch>& stretches, const Abilities& can)
        : stretches_(stretches), can_(can) {
        for (const Stretch& stretch : stretches) {
            peak_c_ = std::max(peak_c_, stretch.to_c);
        }
    }

    double peak_c() const { return peak_c_; }
    bool soaks_at_peak() const {
        return std::any_of(stretches_.begin(), stretches_.end(), [&](const Stretch& stretch) {
            return stretch.kind == SegmentKind::soak && at_peak(stretch.to_c);
        });
    }

    std::vector<Leg> legs(PeakChoice choice) const {
        std::vector<Leg> legs;
        legs.reserve(stretches_.size() + 2);
        double at = to_scale(stretches_.front().from_c, can_.scale);
        for (std::size_t i = 0; i < stretches_.size(); ++i) {
            add(legs, stretches_[i], at, end_of(i, at, choice), choice);
            at = legs.back().to;
        }
        return legs;
    }

  private:
    bool at_peak(double c) const { return c > peak_c_ - same_k; }

    // Where stretch i ends, in the scale; `from`: where it starts, as rounded.
    double end_of(std::size_t i, double from, PeakChoice choice) const {
        const Stretch& stretch = stretches_[i];
        const double exact = to_scale(stretch.to_c, can_.scale);
        const bool starts_off_grid = i == 0;
        if (stretch.kind == SegmentKind::soak && !starts_off_grid) {
            return from;
        }
        Towards towards = Towards::nearest;
        if (at_peak(stretch.to_c)) {
            towards = choice.temperature;
        } else if (i + 1 < stretches_.size()) {
            towards = direction(stretch, stretches_[i + 1]);
        }
        const double to = rounded(exact, can_.temperature_step, towards);
        const double rise = stretch.to_c - stretch.from_c;
        // A short piece must not turn round.
        const bool turned = (rise > 0 && to < from) || (rise < 0 && to > from);
        return turned ? rounded(from, can_.temperature_step,
                                rise > 0 ? Towards::higher : Towards::lower)
                      : to;
    }

    void add(std::vector<Leg>& legs, const Stretch& stretch, double from, double to,
             PeakChoice choice) const {
        Leg leg;
        leg.kind = stretch.kind;
        leg.from = from;
        leg.to = to;
        leg.estimated_s = stretch.estimated_s;
        leg.first = stretch.first;
        leg.last = stretch.last;
        if (stretch.waiting_k) {
            const double within = difference_to_scale(*stretch.waiting_k, can_.scale);
            leg.waiting = std::max(down(within, can_.temperature_step), can_.temperature_step);
        }
        if (!stretch.duration_s) {
            legs.push_back(leg);
            return;
        }
        const bool soak = stretch.kind == SegmentKind::soak || std::fabs(to - from) < whole;
        if (soak) {
            leg.kind = SegmentKind::soak;
            add_soak(legs, leg, *stretch.duration_s,
                     at_peak(stretch.to_c) ? choice.soak : Towards::nearest);
        } else {
            add_ramp(legs, leg, stretch);
        }
    }

    void add_soak(std::vector<Leg>& legs, Leg leg, double duration_s, Towards towards) const {
        const double steps = std::max(
            1.0, std::round(rounded(duration_s, can_.time_step_s, towards) / can_.time_step_s));
        const double pieces = std::max(1.0, std::ceil(steps / most_steps_of_time() - whole));
        double done = 0;
        for (double piece = 1; piece <= pieces; ++piece) {
            const double reached = std::round(steps * piece / pieces);
            leg.duration_s = (reached - done) * can_.time_step_s;
            done = reached;
            legs.push_back(leg);
            leg.from = leg.to;
        }
    }

    double most_steps_of_time() const {
        return can_.longest_step_s ? std::floor(*can_.longest_step_s / can_.time_step_s + whole)
                                   : 1e12;
    }

    void add_ramp(std::vector<Leg>& legs, Leg leg, const Stretch& stretch) const {
        const double asked = difference_to_scale(std::fabs(rate_of(stretch)), can_.scale);
        const double rate =
            can_.form == StepForm::duration_target ? asked : keyed_rate(asked, can_);
        const double from = leg.from, to = leg.to;
        const double longest_s = most_steps_of_time() * can_.time_step_s;
        // Cut at temperatures that can be keyed; one piece more where rounding makes one too long.
        for (double pieces = 1;; ++pieces) {
            const std::size_t before = legs.size();
            bool fits = true;
            leg.from = from;
            for (double piece = 1; piece <= pieces && fits; ++piece) {
                leg.to = piece == pieces
                             ? to
                             : nearest(from + (to - from) * piece / pieces, can_.temperature_step);
                set_time(leg, rate);
                fits = *leg.duration_s <= longest_s * (1 + whole);
                legs.push_back(leg);
                leg.from = leg.to;
            }
            const bool finest = pieces > std::fabs(to - from) / can_.temperature_step + 2;
            if (fits || finest) {
                return;
            }
            legs.resize(before);
        }
    }

    void set_time(Leg& leg, double rate) const {
        const double exact_s = std::fabs(leg.to - leg.from) / rate * 3600;
        if (can_.form == StepForm::duration_target) {
            leg.duration_s = std::max(up(exact_s, can_.time_step_s), can_.time_step_s);
        } else {
            leg.rate = rate;
            leg.duration_s = exact_s;
        }
    }

    const std::vector<Stretch>& stretches_;
    const Abilities& can_;
    double peak_c_ = -300;
};

} // namespace

double keyed_rate(double rate, const Abilities& can) {
    return down(rate, can.rate_step);
}

std::size_t segments_to_fire(const Schedule& schedule) {
    std::size_t count = schedule.segments.size();
    while (count > 0 && (schedule.segments[count - 1].kind == SegmentKind::free ||
                         schedule.segments[count - 1].kind == SegmentKind::opened)) {
        --count;
    }
    return count;
}

std::vector<Stretch> stretches_of_segments(const Schedule& schedule) {
    std::vector<Stretch> stretches(segments_to_fire(schedule));
    for (std::size_t i = 0; i < stretches.size(); ++i) {
        const Segment& segment = schedule.segments[i];
        const auto index = static_cast<std::uint32_t>(i);
        stretches[i] = {segment.kind,
                        segment.from_c,
                        segment.to_c,
                        segment.duration_s,
                        segment.estimated_duration_s,
                        segment.waiting_within_k,
                        index,
                        index};
    }
    return stretches;
}

std::vector<HeatStretch> heat_of(const std::vector<Leg>& legs, Scale scale) {
    std::vector<HeatStretch> heat(legs.size());
    for (std::size_t i = 0; i < legs.size(); ++i) {
        const Leg& leg = legs[i];
        heat[i] = {from_scale(leg.from, scale), from_scale(leg.to, scale),
                   leg.duration_s.value_or(leg.estimated_s.value_or(0))};
    }
    return heat;
}

std::vector<HeatStretch> heat_of(const std::vector<Stretch>& stretches) {
    std::vector<HeatStretch> heat(stretches.size());
    for (std::size_t i = 0; i < stretches.size(); ++i) {
        const Stretch& stretch = stretches[i];
        heat[i] = {stretch.from_c, stretch.to_c,
                   stretch.duration_s.value_or(stretch.estimated_s.value_or(0))};
    }
    return heat;
}

std::vector<Leg> legs_of(const std::vector<Stretch>& stretches, const Abilities& can,
                         const HeatAim& aim) {
    if (stretches.empty()) {
        return {};
    }
    const Rounding rounding(stretches, can);
    const HeatComparison heat(aim.scale, aim.reading, heat_of(stretches));
    const double peak = to_scale(rounding.peak_c(), can.scale);
    const auto too_hot = [&](Towards towards) {
        const double keyed_c = from_scale(rounded(peak, can.temperature_step, towards), can.scale);
        return aim.ceiling_c && keyed_c > *aim.ceiling_c + same_k;
    };
    if (!heat.known()) {
        return rounding.legs({too_hot(Towards::nearest) ? Towards::lower : Towards::nearest});
    }
    std::vector<Leg> best;
    double best_off = 0;
    const auto is_on_grid = [&](double value, double step) {
        return std::fabs(value - nearest(value, step)) < whole * step;
    };
    for (const Towards temperature : {Towards::lower, Towards::higher}) {
        if (temperature == Towards::higher &&
            (too_hot(temperature) || is_on_grid(peak, can.temperature_step))) {
            continue;
        }
        for (const Towards soak : {Towards::lower, Towards::higher}) {
            if (soak == Towards::higher && !rounding.soaks_at_peak()) {
                continue;
            }
            std::vector<Leg> legs = rounding.legs({temperature, soak});
            const double off =
                std::fabs(heat.cones_off(work(heat.cone(), heat_of(legs, can.scale))));
            if (best.empty() || off < best_off - whole) {
                best = std::move(legs);
                best_off = off;
            }
        }
    }
    return best;
}

} // namespace fettle
