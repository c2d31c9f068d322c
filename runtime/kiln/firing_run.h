// The conductor of a simulated firing: which segment is at hand, how long the next step may be,
// when a temperature is reached. Each lane of the number V is a firing of its own, with its own
// segment, time and step; they only share the arithmetic.
#pragma once

#include "runtime/kiln/simulate.h"
#include "runtime/kiln/thermal_step.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <span>

namespace fettle {

// A segment as a controller plays it.
struct PlannedSegment {
    SegmentKind kind = SegmentKind::ramp;
    double from_c = 0, to_c = 0;
    double duration_s = 0;                                   // of a ramp or soak
    double band_k = std::numeric_limits<double>::infinity(); // the clock runs only within it
};
inline std::vector<PlannedSegment> planned_segments(const Schedule& schedule) {
    std::vector<PlannedSegment> planned;
    for (const Segment& segment : schedule.segments) {
        PlannedSegment& to = planned.emplace_back();
        to.kind = segment.kind;
        to.from_c = segment.from_c;
        to.to_c = segment.to_c;
        to.duration_s = segment.duration_s.value_or(0);
        if (segment.waiting_within_k)
            to.band_k = *segment.waiting_within_k;
    }
    return planned;
}

// How a firing is stepped.
struct Stepping {
    double step_s = 10;
    StepMethod method = StepMethod::explicit_fourth;
};
// For a net that gets as hot as this.
Stepping choose_stepping(const ThermalNet<double>& net, double top_c, bool opened,
                         const SimulateOptions& options);

// Temperatures before the first step: of the whole kiln; a lining that is warm already falls in a
// straight line to the shell, which has the temperature of the room.
void set_out(const ThermalNet<double>& net, double start_c, double* states);

struct LaneStatus {
    std::uint32_t segment = 0; // past the last: natural cooling
    double time_s = 0;
    double clock_s = 0; // the controller's, within the segment
    double cut_s = 0;   // above 0: the next step is to be just so long
    bool holding = false;
    bool finished = false;
    FiringEnd end = FiringEnd::done;
    double watch_time_s = 0, watch_read_c = 0; // when and where it was looked whether it gets on
    double read_c = 0;                         // at the beginning of the step
};

// Observer: `stepped(lane, status, asked (NaN: nothing), states)` after each step that counts, with
// the time of its end; `segment_ended(lane, status, states)`.
template <class V, class Observer> class FiringRun {
  public:
    static constexpr std::size_t lanes = lanes_of<V>;

    FiringRun(std::span<const PlannedSegment> segments, const Stepping& stepping, bool cool_down,
              double cool_to_c, Observer& observer)
        : segments_(segments), stepping_(stepping), cool_down_(cool_down), cool_to_c_(cool_to_c),
          observer_(observer) {}

    void load(std::size_t l, const ThermalNet<double>& net, double start_c) {
        net_.cells = net.cells;
        net_.sinks = net.sinks;
        net_.interfaces = net.interfaces;
        std::copy(std::begin(net.interface_at), std::end(net.interface_at), net_.interface_at);
        for_each_number(net_, net, [l](V& to, double from) { set_lane(to, l, from); });
        double states[max_states] = {};
        set_out(net, start_c, states);
        for (std::size_t i = 0; i < net.states(); ++i)
            set_lane(y_[i], l, states[i]);
        status_[l] = {};
        status_[l].read_c = reading(l);
        status_[l].watch_read_c = status_[l].read_c;
        if (segments_.empty())
            after_last(l);
    }
    void leave_idle(std::size_t l) { status_[l].finished = true; }

    void run() {
        while (true) {
            bool any = false;
            for (std::size_t l = 0; l < lanes; ++l) {
                prepare(l);
                any = any || !status_[l].finished;
            }
            if (!any)
                return;
            std::copy(y_, y_ + net_.states(), before_);
            if (stepping_.method == StepMethod::implicit_second) {
                step_implicit(net_, drive_, step_, y_, room_);
            } else {
                step_explicit(net_, drive_, step_, y_, room_);
            }
            for (std::size_t l = 0; l < lanes; ++l) {
                if (!status_[l].finished)
                    settle(l);
            }
        }
    }

    const LaneStatus& status(std::size_t l) const { return status_[l]; }
    double reading(std::size_t l) const {
        return lane(sensor_reading(net_, y_[state::chamber]), l);
    }
    const V* states() const { return y_; }

  private:
    static constexpr double reached_k = 0.001;
    static constexpr double longest_s = 21 * 86400.0;

    bool on_its_own(const LaneStatus& s) const {
        return s.segment >= segments_.size() || kind(s) == SegmentKind::free ||
               kind(s) == SegmentKind::opened;
    }
    SegmentKind kind(const LaneStatus& s) const { return segments_[s.segment].kind; }

    void prepare(std::size_t l) {
        LaneStatus& s = status_[l];
        double setpoint = 0, slope = 0, follow = 0, forced = 0, open = 0, step = 0;
        if (!s.finished) {
            step = stepping_.step_s;
            if (on_its_own(s)) {
                open = s.segment < segments_.size() && kind(s) == SegmentKind::opened ? 1 : 0;
                setpoint = s.read_c;
            } else if (kind(s) == SegmentKind::full) {
                forced = 1;
                setpoint = segments_[s.segment].to_c;
            } else {
                const PlannedSegment& segment = segments_[s.segment];
                slope = (segment.to_c - segment.from_c) / segment.duration_s;
                setpoint = segment.from_c + slope * s.clock_s;
                follow = 1;
                s.holding = std::abs(s.read_c - setpoint) > segment.band_k;
                if (s.holding) {
                    slope = 0;
                } else {
                    const double left = segment.duration_s - s.clock_s;
                    step = left / std::ceil(left / stepping_.step_s - 1e-9);
                }
            }
            if (s.cut_s > 0)
                step = s.cut_s;
        }
        set_lane(drive_.setpoint, l, setpoint);
        set_lane(drive_.slope, l, slope);
        set_lane(drive_.follow, l, follow);
        set_lane(drive_.forced, l, forced);
        set_lane(drive_.open, l, open);
        set_lane(step_, l, step);
    }

    // After a step: takes it back where a temperature was passed in its course, else goes on.
    void settle(std::size_t l) {
        LaneStatus& s = status_[l];
        const double now = reading(l), step = lane(step_, l);
        double aim = 0; // the temperature to be reached
        const double way = direction(l, now, aim);
        const double past = way * (now - aim);
        if (way != 0 && past > reached_k) {
            const double share = (aim - s.read_c) / (now - s.read_c);
            if (share > 0 && share < 1 && step > 1e-4) {
                s.cut_s = step * share;
                for (std::size_t i = 0; i < net_.states(); ++i)
                    set_lane(y_[i], l, lane(before_[i], l));
                return;
            }
        }
        s.cut_s = 0;
        s.time_s += step;
        if (!on_its_own(s) && kind(s) != SegmentKind::full && !s.holding)
            s.clock_s += step;
        s.read_c = now;
        observer_.stepped(l, s, asked(l), y_);
        if (way != 0 && past > -reached_k) {
            reached(l);
        } else if (ends_by_clock(s)) {
            next_segment(l);
        } else {
            watch(l, way, aim);
        }
    }

    // +1 or −1: climbing or falling to `aim`, with which the stretch ends; 0: it ends by the clock.
    double direction(std::size_t l, double now, double& aim) const {
        const LaneStatus& s = status_[l];
        if (s.segment >= segments_.size()) {
            aim = cool_to_c_;
            return -1;
        }
        const PlannedSegment& segment = segments_[s.segment];
        if (on_its_own(s)) {
            aim = segment.to_c;
            return -1;
        }
        if (segment.kind == SegmentKind::full) {
            aim = segment.to_c;
            return 1;
        }
        if (s.holding) {
            const double setpoint = lane(drive_.setpoint, l);
            const double way = s.read_c < setpoint ? 1 : -1;
            aim = setpoint - way * segment.band_k;
            (void)now;
            return way;
        }
        return 0;
    }

    double asked(std::size_t l) const {
        const LaneStatus& s = status_[l];
        if (on_its_own(s) || kind(s) == SegmentKind::full)
            return std::numeric_limits<double>::quiet_NaN();
        const PlannedSegment& segment = segments_[s.segment];
        return segment.from_c + (segment.to_c - segment.from_c) / segment.duration_s * s.clock_s;
    }

    bool ends_by_clock(const LaneStatus& s) const {
        return !on_its_own(s) && kind(s) != SegmentKind::full &&
               s.clock_s >= segments_[s.segment].duration_s - 1e-6;
    }

    void reached(std::size_t l) {
        LaneStatus& s = status_[l];
        if (s.holding) {
            // Within the band by a hair, so that the clock starts.
            s.holding = false;
            s.watch_time_s = s.time_s;
            const double setpoint = lane(drive_.setpoint, l);
            const double band = segments_[s.segment].band_k;
            if (std::abs(s.read_c - setpoint) > band)
                s.read_c = setpoint + (s.read_c > setpoint ? band : -band);
            return;
        }
        if (s.segment >= segments_.size()) {
            s.finished = true;
        } else {
            next_segment(l);
        }
    }

    void next_segment(std::size_t l) {
        LaneStatus& s = status_[l];
        observer_.segment_ended(l, s, y_);
        ++s.segment;
        s.clock_s = 0;
        s.holding = false;
        s.watch_time_s = s.time_s;
        s.watch_read_c = s.read_c;
        if (s.segment >= segments_.size())
            after_last(l);
    }

    void after_last(std::size_t l) {
        LaneStatus& s = status_[l];
        if (!cool_down_ || s.read_c <= cool_to_c_)
            s.finished = true;
    }

    // Once an hour: does it still get nearer to where it is to go?
    void watch(std::size_t l, double way, double aim) {
        LaneStatus& s = status_[l];
        constexpr double hour = 3600, least_climb_k = 1, least_fall_k = 0.1;
        if (s.time_s > longest_s)
            return stop(l, way > 0 ? FiringEnd::never_reaches : FiringEnd::never_cools);
        if (way == 0 || s.time_s - s.watch_time_s < hour)
            return;
        const double nearer = way * (s.read_c - s.watch_read_c);
        if (nearer < (way > 0 ? least_climb_k : least_fall_k) && way * (aim - s.read_c) > 0)
            return stop(l, way > 0 ? FiringEnd::never_reaches : FiringEnd::never_cools);
        s.watch_time_s = s.time_s;
        s.watch_read_c = s.read_c;
    }
    void stop(std::size_t l, FiringEnd end) {
        LaneStatus& s = status_[l];
        s.finished = true;
        s.end = s.segment < segments_.size() ? end : FiringEnd::done;
    }

    std::span<const PlannedSegment> segments_;
    Stepping stepping_;
    bool cool_down_;
    double cool_to_c_;
    Observer& observer_;
    ThermalNet<V> net_;
    Drive<V> drive_;
    V step_{};
    StepRoom<V> room_;
    V y_[max_states]{}, before_[max_states]{};
    LaneStatus status_[lanes];
};

} // namespace fettle
