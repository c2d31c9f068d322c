#include "runtime/kiln/simulate.h"

#include "runtime/kiln/firing_run.h"

#include <algorithm>
#include <cmath>

namespace fettle {
namespace {

constexpr double steepness_over_s = 900;

// Follows one firing and writes down what the prediction says.
class Recorder {
  public:
    Recorder(const ThermalNet<double>& net, std::span<const PlannedSegment> segments,
             const SimulateOptions& options, Prediction& prediction)
        : net_(net), segments_(segments), options_(options), prediction_(prediction) {
        prediction_.segments.reserve(segments.size());
        for (std::size_t i = 0; i < segments.size(); ++i) {
            const SegmentKind kind = segments[i].kind;
            if (kind != SegmentKind::free && kind != SegmentKind::opened)
                last_fired_ = i;
        }
    }

    void begin(const double* states, double start_c) {
        std::copy(states, states + net_.states(), start_);
        PredictedPoint point = point_of(0, states);
        if (!segments_.empty() && segments_[0].kind != SegmentKind::full)
            point.asked_c = segments_[0].from_c;
        last_ = point;
        prediction_.peak_c = prediction_.ware_peak_c = point.kiln_c;
        prediction_.peak_read_c = point.read_c;
        keep(point);
        open_segment(0, start_c);
    }

    void stepped(std::size_t, const LaneStatus& status, double asked_c, const double* y) {
        PredictedPoint point = point_of(status.time_s, y);
        if (!std::isnan(asked_c))
            point.asked_c = asked_c;
        const double passed = point.time_s - last_.time_s;
        if (passed > 0)
            point.power_share = (y[net_.supplied()] - last_supplied_) / passed / net_.power;
        last_supplied_ = y[net_.supplied()];
        if (status.segment < segments_.size())
            add_to_segment(status, point, passed);
        prediction_.peak_c = std::max(prediction_.peak_c, point.kiln_c);
        prediction_.peak_read_c = std::max(prediction_.peak_read_c, point.read_c);
        prediction_.ware_peak_c = std::max(prediction_.ware_peak_c, point.ware_c);
        last_ = point;
        if (point.time_s - kept_s_ >= options_.sample_s)
            keep(point);
    }

    void segment_ended(std::size_t, const LaneStatus& status, const double* y) {
        SegmentPrediction& segment = prediction_.segments.back();
        segment.end_s = status.time_s;
        segment.end_read_c = last_.read_c;
        segment.behind_at_end_k = last_.asked_c ? *last_.asked_c - last_.read_c : 0;
        segment.supplied_j = y[net_.supplied()] - segment_supplied_;
        segment_supplied_ = y[net_.supplied()];
        if (status.segment == last_fired_)
            draw_up(status.time_s, y);
        prediction_.duration_s = status.time_s;
        prediction_.supplied_j = y[net_.supplied()];
        if (kept_s_ != last_.time_s)
            keep(last_);
        open_segment(status.segment + 1, last_.read_c);
    }

    void finish(const LaneStatus& status, const double* y) {
        if (kept_s_ != last_.time_s)
            keep(last_);
        if (status.end != FiringEnd::done) {
            prediction_.duration_s = status.time_s;
            prediction_.supplied_j = y[net_.supplied()];
            draw_up(status.time_s, y);
            prediction_.segments.back().end_s = status.time_s;
            prediction_.segments.back().end_read_c = last_.read_c;
        }
    }

  private:
    PredictedPoint point_of(double time_s, const double* y) const {
        PredictedPoint point;
        point.time_s = time_s;
        point.kiln_c = y[state::chamber];
        point.read_c = sensor_reading(net_, point.kiln_c);
        point.ware_c = y[state::ware];
        return point;
    }

    void keep(const PredictedPoint& point) {
        kept_s_ = point.time_s;
        if (options_.keep_curve)
            prediction_.curve.push_back(point);
    }

    void open_segment(std::size_t index, double read_c) {
        if (index >= segments_.size())
            return;
        SegmentPrediction& segment = prediction_.segments.emplace_back();
        segment.begin_s = last_.time_s;
        steep_from_ = {last_.time_s, read_c};
    }

    void add_to_segment(const LaneStatus& status, const PredictedPoint& point, double passed_s) {
        SegmentPrediction& segment = prediction_.segments.back();
        const PlannedSegment& planned = segments_[status.segment];
        if (status.holding)
            segment.waited_s += passed_s;
        if (point.power_share > 0.999)
            segment.full_power_s += passed_s;
        if (point.power_share < 0.001)
            segment.no_power_s += passed_s;
        segment.ware_lag_k = std::max(segment.ware_lag_k, std::abs(point.kiln_c - point.ware_c));
        if (point.asked_c) {
            const double behind = *point.asked_c - point.read_c;
            segment.behind_k = std::max(segment.behind_k, behind);
            segment.ahead_k = std::max(segment.ahead_k, -behind);
            if (!segment.fell_behind && std::abs(behind) > noticeable_k) {
                segment.fell_behind = true;
                segment.fell_behind_at_c = *point.asked_c;
            }
        }
        const double steep_s = point.time_s - steep_from_.time_s;
        if (steep_s >= steepness_over_s) {
            const double way = planned.to_c < planned.from_c ? -1 : 1;
            const double rate = way * (point.read_c - steep_from_.read_c) / steep_s * 3600;
            segment.steepest_k_per_h = std::max(segment.steepest_k_per_h, rate);
            steep_from_ = {point.time_s, point.read_c};
        }
    }

    void draw_up(double time_s, const double* y) {
        HeatBalance& balance = prediction_.balance;
        balance.time_s = time_s;
        balance.supplied_j = y[net_.supplied()];
        balance.lost_j = y[net_.lost()];
        const StoredHeat stored = stored_heat(net_, y, start_);
        balance.ware_j = stored.ware_j;
        balance.chamber_j = stored.chamber_j;
        balance.lining_j = stored.lining_j;
        balance.changes_j = 0;
        for (std::size_t i = 0; i < net_.sinks; ++i)
            balance.changes_j += net_.sink[i].heat * y[net_.first_sink() + i];
    }

    const ThermalNet<double>& net_;
    std::span<const PlannedSegment> segments_;
    const SimulateOptions& options_;
    Prediction& prediction_;
    double start_[max_states] = {};
    PredictedPoint last_;
    double last_supplied_ = 0, segment_supplied_ = 0;
    double kept_s_ = -1;
    std::size_t last_fired_ = 0;
    struct Instant {
        double time_s, read_c;
    } steep_from_{};
};

double hottest_of(std::span<const PlannedSegment> segments, double start_c) {
    double hottest = start_c;
    for (const PlannedSegment& segment : segments)
        hottest = std::max(hottest, segment.to_c);
    return hottest;
}

bool opens(std::span<const PlannedSegment> segments) {
    return std::any_of(segments.begin(), segments.end(), [](const PlannedSegment& segment) {
        return segment.kind == SegmentKind::opened;
    });
}

} // namespace

Stepping choose_stepping(const ThermalNet<double>& net, double top_c, bool opened,
                         const SimulateOptions& options) {
    constexpr double stable = 2.5;        // of 2.78, as a bit hotter than asked may happen
    constexpr double longest_step_s = 30; // beyond it steps at the corners show
    constexpr double shortest_explicit_s = 6;
    constexpr double implicit_step_s = 5;
    const double bound_s = stable / fastest_rate_per_s(net, top_c, opened);
    Stepping stepping;
    stepping.method = options.method;
    if (options.method == StepMethod::by_stability) {
        const double wanted = options.step_s > 0 ? options.step_s : shortest_explicit_s;
        stepping.method =
            bound_s >= wanted ? StepMethod::explicit_fourth : StepMethod::implicit_second;
    }
    if (options.step_s > 0) {
        stepping.step_s = options.step_s;
    } else {
        stepping.step_s = stepping.method == StepMethod::explicit_fourth
                              ? std::min(longest_step_s, bound_s)
                              : implicit_step_s;
    }
    return stepping;
}

void set_out(const ThermalNet<double>& net, double start_c, double* states) {
    std::fill(states, states + max_states, 0.0);
    std::fill(states, states + net.nodes(), start_c);
    constexpr double warm_k = 30;
    if (std::abs(start_c - net.ambient) < warm_k)
        return;
    for (std::size_t i = 0; i <= net.cells; ++i) {
        const double share =
            net.cells > 0 ? static_cast<double>(i) / static_cast<double>(net.cells) : 1;
        states[state::first_cell + i] = start_c + share * (net.ambient - start_c);
    }
}

Prediction simulate(const Schedule& schedule, const KilnModel& model,
                    const SimulateOptions& options) {
    Prediction prediction;
    prediction.problems = check_kiln_model(model);
    if (!prediction.problems.empty()) {
        prediction.end = FiringEnd::bad_model;
        return prediction;
    }
    const std::vector<PlannedSegment> segments = planned_segments(schedule);
    const ThermalNet<double> net = thermal_net(model, options.lining_cells);
    const Stepping stepping =
        choose_stepping(net, hottest_of(segments, schedule.start_c), opens(segments), options);
    prediction.step_s = stepping.step_s;
    prediction.method = stepping.method;
    Recorder recorder(net, segments, options, prediction);
    FiringRun<double, Recorder> run(segments, stepping, options.cool_down,
                                    std::max(options.cool_to_c, model.ambient_c + 5), recorder);
    run.load(0, net, schedule.start_c);
    recorder.begin(run.states(), schedule.start_c);
    run.run();
    const LaneStatus& status = run.status(0);
    recorder.finish(status, run.states());
    prediction.end = status.end;
    if (status.end != FiringEnd::done) {
        prediction.stopped_in = status.segment;
        prediction.stopped_at_c = status.read_c;
    }
    return prediction;
}

std::optional<double> Prediction::cooled_to_s(double temperature_c) const {
    const auto hotter = [&](const PredictedPoint& point) {
        return std::max(point.kiln_c, point.ware_c) - temperature_c;
    };
    for (std::size_t i = curve.size(); i-- > 0;) {
        const double above = hotter(curve[i]);
        if (above <= 0)
            continue;
        if (i + 1 == curve.size())
            return std::nullopt;
        const double next = hotter(curve[i + 1]);
        return curve[i].time_s + (curve[i + 1].time_s - curve[i].time_s) * above / (above - next);
    }
    return 0;
}

std::optional<double> Prediction::kiln_at_c(double time_s) const {
    if (curve.empty() || time_s < 0 || time_s > curve.back().time_s)
        return std::nullopt;
    const auto after = std::lower_bound(
        curve.begin(), curve.end(), time_s,
        [](const PredictedPoint& point, double time) { return point.time_s < time; });
    if (after == curve.begin())
        return after->kiln_c;
    const auto before = after - 1;
    const double share = (time_s - before->time_s) / (after->time_s - before->time_s);
    return before->kiln_c + share * (after->kiln_c - before->kiln_c);
}

ConeReading predicted_cone(const ConeScale& scale, const Prediction& prediction,
                           double difference_k) {
    std::vector<HeatStretch> stretches;
    stretches.reserve(prediction.curve.size());
    for (std::size_t i = 1; i < prediction.curve.size(); ++i) {
        const PredictedPoint &from = prediction.curve[i - 1], &to = prediction.curve[i];
        stretches.push_back(
            {from.kiln_c + difference_k, to.kiln_c + difference_k, to.time_s - from.time_s});
    }
    return cone_reached(scale, stretches);
}

} // namespace fettle
