#include "compiler/lowering/predict.h"

#include "compiler/meaning/kiln_profile.h"
#include "runtime/log/thermocouple.h"

#include <algorithm>
#include <cmath>

namespace fettle {
namespace {

std::vector<PhasePrediction> by_phase(const Schedule& schedule, const Prediction& prediction) {
    std::vector<PhasePrediction> phases;
    for (std::uint32_t i = 0; i < prediction.segments.size(); ++i) {
        const Segment& asked = schedule.segments[i];
        const SegmentPrediction& made = prediction.segments[i];
        if (phases.empty() || phases.back().phase != asked.phase) {
            PhasePrediction& next = phases.emplace_back();
            next.phase = asked.phase;
            next.first_segment = i;
            next.begin_s = made.begin_s;
            next.asked_s = 0;
        }
        PhasePrediction& phase = phases.back();
        phase.end_segment = i + 1;
        phase.end_s = made.end_s;
        if (phase.asked_s && asked.duration_s) {
            *phase.asked_s += *asked.duration_s;
        } else {
            phase.asked_s.reset();
        }
        phase.behind_k = std::max(phase.behind_k, made.behind_k);
        phase.ahead_k = std::max(phase.ahead_k, made.ahead_k);
        phase.end_c = made.end_read_c;
        phase.waited_s += made.waited_s;
        phase.full_power_s += made.full_power_s;
        phase.supplied_j += made.supplied_j;
    }
    return phases;
}

void read_shelf(const ConeScale& scale, const Prediction& prediction, ShelfPrediction& shelf,
                KeptTexts& names) {
    const ConeReading reading = predicted_cone(scale, prediction, shelf.difference_k);
    shelf.position = reading.position;
    if (reading.complete)
        shelf.reached.cone = names.keep(cone_name(scale.cones[*reading.complete].cone));
    if (reading.next) {
        shelf.reached.next_cone = names.keep(cone_name(scale.cones[*reading.next].cone));
        shelf.reached.fraction_to_next = std::round(reading.fraction_to_next * 1000) / 1000;
    }
}

std::vector<ShelfPrediction> by_shelf(const ConeScale& scale, const KilnModel& model,
                                      const Prediction& prediction, KeptTexts& names) {
    std::vector<ShelfPrediction> shelves;
    for (const KilnModel::Shelf& shelf : model.shelves)
        shelves.push_back({shelf.name, shelf.difference_k, {}, 0});
    if (shelves.empty())
        shelves.emplace_back();
    for (ShelfPrediction& shelf : shelves)
        read_shelf(scale, prediction, shelf, names);
    std::stable_sort(shelves.begin(), shelves.end(),
                     [](const ShelfPrediction& a, const ShelfPrediction& b) {
                         return a.difference_k > b.difference_k;
                     });
    return shelves;
}

// The mean rate, in the segment's direction, from when it first fell behind to its end.
double rate_once_behind(const Prediction& prediction, const SegmentPrediction& made, double asked_c,
                        double way) {
    double from_s = made.end_s, from_c = made.end_read_c;
    for (const PredictedPoint& point : prediction.curve) {
        if (point.time_s < made.begin_s || point.time_s > made.end_s || !point.asked_c)
            continue;
        if (way * (*point.asked_c - asked_c) >= 0) {
            from_s = point.time_s;
            from_c = point.read_c;
            break;
        }
    }
    if (made.end_s - from_s < 1)
        return made.steepest_k_per_h;
    return way * (made.end_read_c - from_c) / (made.end_s - from_s) * 3600;
}

// Why a segment that was noticeably off could not do better; nothing where it was only the corner
// of the curve, which any control rounds off.
std::optional<CannotFollow::Why> why_off(const Segment& segment, const SegmentPrediction& made) {
    constexpr double a_while_s = 600, plainly_k = 15;
    const double most = std::min(a_while_s, 0.5 * (made.end_s - made.begin_s));
    if (made.behind_k > noticeable_k && made.full_power_s >= most)
        return CannotFollow::Why::too_little_power;
    // A soak soon after a climb overshoots a little, and lies without power while that goes.
    const bool falls = segment.to_c < segment.from_c;
    if (made.ahead_k > noticeable_k && made.no_power_s >= most &&
        (falls || made.ahead_k > plainly_k))
        return CannotFollow::Why::cools_slower;
    if (std::max(made.behind_k, made.ahead_k) > plainly_k)
        return CannotFollow::Why::sluggish;
    return std::nullopt;
}

std::vector<CannotFollow> not_followed(const Schedule& schedule, const Prediction& prediction) {
    std::vector<CannotFollow> found;
    for (std::uint32_t i = 0; i < prediction.segments.size(); ++i) {
        const Segment& segment = schedule.segments[i];
        const SegmentPrediction& made = prediction.segments[i];
        if (!made.fell_behind)
            continue;
        const auto why = why_off(segment, made);
        if (!why)
            continue;
        CannotFollow& item = found.emplace_back();
        item.why = *why;
        item.segment = i;
        item.from_c = made.fell_behind_at_c;
        item.asked_k_per_h = segment.rate_k_per_h();
        item.at_end_k = made.behind_at_end_k;
        item.worst_k = std::max(made.behind_k, made.ahead_k);
        const double way = segment.to_c < segment.from_c ? -1 : 1;
        item.made_k_per_h = rate_once_behind(prediction, made, item.from_c, way);
    }
    return found;
}

// A sensor of class 2 (IEC 60584-1), of the type that the kiln has; K where it does not say.
RunVariation variation_of(const Program& program, std::uint32_t kiln) {
    RunVariation variation;
    const Value& sensor =
        program.profiles[kiln].fields[static_cast<std::size_t>(field::at(Holder::kiln, "sensor"))];
    auto type = ThermocoupleType::k;
    if (sensor.is(ValueKind::choice))
        type = thermocouple_type(program.name(sensor.index)).value_or(type);
    constexpr double cool_c = 100, red_c = 601, hot_c = 1100;
    const auto at = [&](double c) { return tolerance_k(type, ToleranceClass::iec_2, c); };
    variation.sensor_k = at(cool_c).value_or(at(red_c).value_or(0));
    variation.sensor_share = at(hot_c).value_or(0) / hot_c;
    return variation;
}

} // namespace

FiringPrediction predict(const CompileContext& context, const CompiledFiring& firing,
                         const PredictOptions& options) {
    FiringPrediction result;
    DescribedKiln described =
        describe_kiln(context.program, firing.firing.kiln, firing.firing.ware);
    result.missing = std::move(described.missing);
    if (!described.model)
        return result;
    result.assumed = std::move(described.assumed);
    result.model = std::move(*described.model);
    result.prediction = simulate(firing.schedule, result.model, options.simulate);
    if (!result.usable())
        return result;
    result.phases = by_phase(firing.schedule, result.prediction);
    result.shelves =
        by_shelf(context.ceramics.shelf_cones(), result.model, result.prediction, result.names);
    result.cannot_follow = not_followed(firing.schedule, result.prediction);
    if (options.runs > 0) {
        result.variation = variation_of(context.program, firing.firing.kiln);
        result.seed = options.seed;
        result.many =
            simulate_many(firing.schedule, result.model, context.ceramics.shelf_cones(),
                          result.variation, options.runs, options.seed, options.in_parallel);
    }
    return result;
}

} // namespace fettle
