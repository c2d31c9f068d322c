#include "runtime/kiln/own_time.h"

#include "runtime/kiln/simulate.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

namespace fettle {
namespace {

constexpr double grid_k = 10;
constexpr double fall_step_k = 25; // falls from about the same temperature are one
constexpr double never_s = std::numeric_limits<double>::infinity();

SimulateOptions coarse() {
    SimulateOptions options;
    options.lining_cells = 10;
    options.sample_s = 120;
    options.cool_down = false;
    return options;
}

Segment segment_of(SegmentKind kind, double from_c, double to_c, std::optional<double> duration_s) {
    Segment segment;
    segment.kind = kind;
    segment.from_c = from_c;
    segment.to_c = to_c;
    segment.duration_s = duration_s;
    return segment;
}

// When the sensor first reads each temperature of a grid, climbing or falling, from `begin_s` on.
std::vector<double> times_at(const Prediction& prediction, double begin_s, double first_c,
                             std::size_t count, double way) {
    std::vector<double> times(count, never_s);
    std::size_t next = way > 0 ? 0 : count; // falling: from the hottest down
    const PredictedPoint* before = nullptr;
    for (const PredictedPoint& point : prediction.curve) {
        if (point.time_s < begin_s - 1e-9)
            continue;
        while (way > 0 ? next < count : next > 0) {
            const std::size_t i = way > 0 ? next : next - 1;
            const double at_c = first_c + grid_k * static_cast<double>(i);
            if (way * (point.read_c - at_c) < 0)
                break;
            double time_s = point.time_s;
            if (before != nullptr && before->read_c != point.read_c)
                time_s = before->time_s + (at_c - before->read_c) /
                                              (point.read_c - before->read_c) *
                                              (point.time_s - before->time_s);
            times[i] = std::max(0.0, time_s - begin_s);
            way > 0 ? ++next : --next;
        }
        before = &point;
    }
    return times;
}

KilnModel emptied(KilnModel model) {
    model.ware.mass_kg = 0;
    model.ware.sinks = {};
    return model;
}

} // namespace

OwnTime::OwnTime(const KilnModel& model, double top_c) : model_(model), hottest_c_(top_c) {}

double OwnTime::load_of(std::optional<double> ware_kg) const {
    if (!ware_kg)
        return 1;
    return model_.ware.mass_kg > 0 ? std::min(*ware_kg / model_.ware.mass_kg, 20.0) : 0;
}

const OwnTime::Times& OwnTime::climb() const {
    const std::lock_guard lock(mutex_);
    if (climb_)
        return *climb_;
    auto times = std::make_unique<Times>();
    times->first_c = std::floor(model_.ambient_c / grid_k) * grid_k;
    const auto count =
        static_cast<std::size_t>(std::max(1.0, (hottest_c_ - times->first_c) / grid_k)) + 2;
    Schedule schedule;
    schedule.start_c = times->first_c;
    schedule.segments.push_back(
        segment_of(SegmentKind::full, schedule.start_c, hottest_c_ + 2 * grid_k, {}));
    const auto run = [&](const KilnModel& model) {
        return times_at(simulate(schedule, model, coarse()), 0, times->first_c, count, 1);
    };
    times->loaded_s = run(model_);
    times->empty_s = run(emptied(model_));
    climb_ = std::move(times);
    return *climb_;
}

const OwnTime::Times& OwnTime::fall(SegmentKind kind, double top_c) const {
    const int step = static_cast<int>(std::ceil(top_c / fall_step_k - 1e-9));
    const std::lock_guard lock(mutex_);
    std::unique_ptr<Times>& times = falls_[{kind, step}];
    if (times)
        return *times;
    times = std::make_unique<Times>();
    const double begins_c = step * fall_step_k;
    times->first_c = std::ceil((model_.ambient_c + 3) / grid_k) * grid_k;
    const auto count =
        static_cast<std::size_t>(std::max(1.0, (begins_c - times->first_c) / grid_k)) + 1;
    Schedule schedule;
    schedule.start_c = model_.ambient_c;
    schedule.segments.push_back(segment_of(SegmentKind::ramp, schedule.start_c, begins_c,
                                           (begins_c - schedule.start_c) / 100 * 3600));
    schedule.segments.push_back(segment_of(SegmentKind::soak, begins_c, begins_c, 900));
    schedule.segments.push_back(segment_of(kind, begins_c, times->first_c, {}));
    const auto run = [&](KilnModel model) {
        // As if it got there: how it falls is what is asked here.
        model.power_w = std::max(model.power_w, 3 * steady_loss_w(model, begins_c) + 100);
        if (std::isfinite(model.flame_c))
            model.flame_c = std::max(model.flame_c, 2 * begins_c);
        const Prediction prediction = simulate(schedule, model, coarse());
        const double begin_s =
            prediction.segments.size() > 2 ? prediction.segments[2].begin_s : never_s;
        return times_at(prediction, begin_s, times->first_c, count, -1);
    };
    times->loaded_s = run(model_);
    times->empty_s = run(emptied(model_));
    return *times;
}

double OwnTime::time_at(const Times& times, double at_c, double load) const {
    const double place = (at_c - times.first_c) / grid_k;
    const auto last = static_cast<double>(times.empty_s.size() - 1);
    if (place < 0 || place > last + 0.5)
        return never_s;
    const auto i = static_cast<std::size_t>(std::min(place, last - 1));
    const double share = place - static_cast<double>(i);
    const auto of = [&](std::size_t n) {
        return times.empty_s[n] + load * (times.loaded_s[n] - times.empty_s[n]);
    };
    return of(i) + share * (of(i + 1) - of(i));
}

std::optional<std::vector<EstimatedPoint>> OwnTime::course(SegmentKind kind, double from_c,
                                                           double to_c, double top_c,
                                                           std::optional<double> ware_kg) const {
    const double load = load_of(ware_kg);
    const bool falls = kind != SegmentKind::full;
    if (falls ? to_c >= from_c : to_c <= from_c)
        return std::nullopt;
    const Times& times = falls ? fall(kind, std::max(from_c, top_c)) : climb();
    const double begin_s = time_at(times, std::max(from_c, times.first_c), load);
    const double end_s = time_at(times, to_c, load);
    if (!std::isfinite(begin_s) || !std::isfinite(end_s) || !(end_s > begin_s))
        return std::nullopt;
    // Close together where cones still work, then so that no inversion is stepped over.
    std::vector<double> between;
    const double hot_c = std::max(from_c, to_c), cold_c = std::min(from_c, to_c);
    for (double below_k : {20.0, 60.0, 140.0})
        between.push_back(hot_c - below_k);
    for (double c = std::floor((hot_c - 200) / 50) * 50; c > cold_c; c -= 50)
        between.push_back(c);
    if (!falls)
        std::reverse(between.begin(), between.end());
    std::vector<EstimatedPoint> points = {{0, from_c}};
    for (double c : between) {
        const double time_s = time_at(times, c, load) - begin_s;
        if (c > cold_c + 1 && c < hot_c - 1 && time_s > points.back().time_s)
            points.push_back({time_s, c});
    }
    if (end_s - begin_s <= points.back().time_s)
        points.pop_back();
    points.push_back({end_s - begin_s, to_c});
    return points;
}

double OwnTime::fastest_climb_k_per_h(double at_c, std::optional<double> ware_kg) const {
    const Times& times = climb();
    const double load = load_of(ware_kg);
    const double low = time_at(times, at_c - grid_k / 2, load);
    const double high = time_at(times, at_c + grid_k / 2, load);
    if (!std::isfinite(low) || !std::isfinite(high) || !(high > low))
        return 0;
    return grid_k / (high - low) * 3600;
}

double quick_fastest_climb_k_per_h(const KilnModel& model, double at_c) {
    const double rise_k = at_c - model.ambient_c;
    if (rise_k <= 0)
        return never_s;
    double power = model.power_w - model.direct_loss_w_per_k * rise_k;
    if (std::isfinite(model.flame_c))
        power -= model.power_w * rise_k / (model.flame_c - model.ambient_c);
    double wall = 0; // W for each root of K/s
    if (!model.lining.empty()) {
        const LiningLayer& face = model.lining.front();
        const double k = face.conductivity_w_per_m_k +
                         face.conductivity_rise_w_per_m_k2 * (at_c + model.ambient_c) / 2;
        wall = 2 * model.inner_area_m2 *
               std::sqrt(k * face.density_kg_per_m3 * face.specific_heat_j_per_kg_k * rise_k /
                         std::numbers::pi);
    }
    if (power <= 0)
        return 0;
    const double capacity = std::max(200.0, heat_capacity_j_per_k(model, at_c));
    const double root = (std::sqrt(wall * wall + 4 * capacity * power) - wall) / (2 * capacity);
    return root * root * 3600;
}

} // namespace fettle
