#include "compiler/lowering/plan_firing.h"

#include "compiler/units/quantity.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace fettle {
namespace {

constexpr double joule_per_kwh = 3.6e6;

int minute_of(double seconds) {
    return static_cast<int>(std::ceil(seconds / 60));
}

// Energy in each minute, by the share of the power at the points of the curve, and in all what was
// predicted.
std::vector<double> energy_by_minute(const Prediction& prediction) {
    std::vector<double> shares;
    double sum = 0;
    for (std::size_t i = 0; i + 1 < prediction.curve.size(); ++i) {
        const PredictedPoint& from = prediction.curve[i];
        const PredictedPoint& to = prediction.curve[i + 1];
        const double share = (from.power_share + to.power_share) / 2;
        // A stretch may lie over the turn of a minute.
        for (double at = from.time_s; at < to.time_s && share > 0;) {
            const double turn = (std::floor(at / 60 + 1e-9) + 1) * 60;
            const double end = std::min(turn, to.time_s);
            const auto minute = static_cast<std::size_t>(std::floor(at / 60 + 1e-9));
            if (shares.size() <= minute)
                shares.resize(minute + 1);
            shares[minute] += share * (end - at);
            sum += share * (end - at);
            at = end;
        }
    }
    const double kwh_per_share = sum > 0 ? prediction.supplied_j / joule_per_kwh / sum : 0;
    for (double& share : shares)
        share *= kwh_per_share;
    return shares;
}

} // namespace

std::optional<PlannedFiring> planned_firing(const CompiledFiring& firing,
                                            const FiringPrediction& prediction) {
    const Prediction& p = prediction.prediction;
    if (!prediction.usable() || p.end != FiringEnd::done || p.curve.empty())
        return std::nullopt;
    PlannedFiring planned;
    planned.kwh = energy_by_minute(p);
    planned.heated_to = static_cast<int>(planned.kwh.size());
    planned.burns_fuel = std::isfinite(prediction.model.flame_c);
    planned.draws_kw = planned.burns_fuel ? 0 : prediction.model.power_w / 1000;
    bool near = false;
    for (const PredictedPoint& point : p.curve) {
        if (point.kiln_c >= p.peak_c - near_top_k && !near) {
            planned.top_from = static_cast<int>(point.time_s / 60);
            near = true;
        }
        if (point.kiln_c >= p.peak_c - near_top_k / 4)
            planned.top_to = minute_of(point.time_s);
    }
    const auto& segments = firing.schedule.segments;
    bool drawn_hot = false;
    for (std::size_t i = 0; i < segments.size(); ++i) {
        drawn_hot = drawn_hot || segments[i].kind == SegmentKind::opened;
        for (const std::string& job : segments[i].jobs)
            planned.jobs.push_back({static_cast<int>(p.segments[i].begin_s / 60), job});
    }
    const auto open = drawn_hot ? std::optional(p.duration_s) : p.cooled_to_s(open_at_c);
    const auto ready = drawn_hot ? open : p.cooled_to_s(unload_at_c);
    if (!open || !ready)
        return std::nullopt;
    planned.open_at = std::max(minute_of(*open), planned.heated_to);
    planned.ready_at = std::max(minute_of(*ready), planned.open_at);
    return planned;
}

std::optional<RawWare> raw_ware(const FiringDocument& document) {
    std::optional<RawWare> raw;
    for (const WareGroup& ware : document.load) {
        if (ware.state == "bisque" || ware.state == "fired")
            continue;
        if (!raw || ware.moisture.value_or(0) > raw->moisture.value_or(0))
            raw = RawWare{ware.moisture};
    }
    return raw;
}

std::string remark_on_waiting(const RawWare& ware, int wait_min) {
    constexpr int long_wait_min = 6 * 60; // common practice
    if (wait_min < long_wait_min)
        return {};
    const std::string moist = ware.moisture ? fmt::format(" with {}% of water left in it",
                                                          print_number(*ware.moisture * 100, 1))
                                            : std::string();
    return fmt::format("Raw ware{} waits {} in the kiln. A shut kiln dries nothing: what is damp "
                       "when it is loaded is damp at the start. Leave the lid propped and the vent "
                       "open until then, or load later (common practice).",
                       moist, print_duration(60.0 * wait_min));
}

} // namespace fettle
