#include "compiler/output/prediction_words.h"

#include "compiler/output/phrases.h"
#include "runtime/schedule/curve.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace fettle {
namespace {

constexpr double j_per_kwh = 3.6e6;

// Ware inside lags the sensor, and cristobalite inverts at 200 to 270 C.
constexpr OpeningStep steps_of_opening[] = {
    {150, "prop the lid or the door by a finger's breadth"},
    {100, "open it"},
    {50, "unload, with the power off at the wall"},
};
// Where quartz and cristobalite shrink (Dodd & Murfin, Dictionary of Ceramics, 1994).
struct Inversion {
    double at_c;
    std::string_view mineral;
};
constexpr Inversion inversions[] = {{573, "quartz"}, {220, "cristobalite"}};

std::string minutes(double seconds) {
    return print_duration(std::round(seconds / 60) * 60);
}
std::string whole_c(double celsius, Scale scale) {
    return print_temperature(celsius, scale, 0);
}
std::string step_k(double kelvin, Scale scale) {
    return printed_step(std::round(kelvin), scale);
}
std::string kwh(double joule) {
    const double value = joule / j_per_kwh;
    return fmt::format("{}kWh", print_number(value, value < 10 ? 1 : 0));
}
std::string percent(double part, double whole) {
    return whole > 0 ? fmt::format("{}%", print_number(100 * part / whole, 0)) : "0%";
}
std::string lag_words(const PhasePrediction& phase, Scale scale) {
    if (phase.behind_k < 0.5 && phase.ahead_k < 0.5)
        return "none";
    if (phase.behind_k >= phase.ahead_k)
        return fmt::format("{} behind", step_k(phase.behind_k, scale));
    return fmt::format("{} too hot", step_k(phase.ahead_k, scale));
}

// "cone 6", "cone 6 and 35% on": of ConeReading::position.
std::string cone_position_words(double position) {
    const std::vector<double>& cones = all_cones();
    const auto next = std::upper_bound(cones.begin(), cones.end(), position);
    if (next == cones.begin())
        return "no cone";
    const double cone = *(next - 1);
    const double on = next == cones.end() ? 0 : (position - cone) / (*next - cone);
    const double rounded = std::round(on * 20) * 5;
    if (rounded < 5)
        return "cone " + cone_name(cone);
    return rounded > 95 ? "cone " + cone_name(*next)
                        : fmt::format("cone {} and {}% on", cone_name(cone), print_number(rounded));
}

bool drawn_hot(const Schedule& schedule) {
    return std::any_of(schedule.segments.begin(), schedule.segments.end(),
                       [](const Segment& segment) { return segment.kind == SegmentKind::opened; });
}

} // namespace

std::span<const OpeningStep> opening_steps() {
    return steps_of_opening;
}

std::vector<PredictionWords::PhaseRow> PredictionWords::phases() const {
    std::vector<PhaseRow> rows;
    for (const PhasePrediction& phase : all_.phases) {
        rows.push_back({readable_name(schedule_.phases[phase.phase].name),
                        phase.asked_s ? minutes(*phase.asked_s) : "its own",
                        minutes(phase.end_s - phase.begin_s), lag_words(phase, options_.scale),
                        whole_c(phase.end_c, options_.scale), kwh(phase.supplied_j)});
    }
    return rows;
}

// What is fired, and what the kiln then takes to cool as asked.
std::string PredictionWords::time() const {
    double cooling_s = 0;
    for (std::size_t i = p_.segments.size(); i-- > 0;) {
        const SegmentKind kind = schedule_.segments[i].kind;
        if (kind != SegmentKind::free && kind != SegmentKind::opened)
            break;
        cooling_s += p_.segments[i].end_s - p_.segments[i].begin_s;
    }
    std::string text = minutes(p_.duration_s - cooling_s);
    if (const auto asked = Curve(schedule_).duration(); asked.value) {
        const double longer = p_.duration_s - cooling_s - *asked.value;
        if (longer >= 60)
            text += fmt::format(" ({} more than asked)", minutes(longer));
    }
    if (cooling_s > 0)
        text += fmt::format(", and {} of cooling in the kiln's own time", minutes(cooling_s));
    return text;
}

std::vector<PredictionWords::Pair> PredictionWords::figures() const {
    std::vector<Pair> all = {{"takes", time()}, {"peak", whole_c(p_.peak_c, options_.scale)}};
    if (!all_.shelves.empty() && !all_.shelves.front().reached.cone.empty())
        all.push_back({"reaches", fmt::format("cone {}", all_.shelves.front().reached.cone)});
    all.push_back({std::isfinite(all_.model.flame_c) ? "fuel" : "power", kwh(p_.supplied_j)});
    return all;
}

std::vector<PredictionWords::Pair> PredictionWords::expected() const {
    const Scale scale = options_.scale;
    const auto asked = Curve(schedule_).peak();
    std::string peak = whole_c(p_.peak_c, scale) + " in the kiln";
    if (all_.model.sensor_offset_k != 0)
        peak += ", " + whole_c(p_.peak_read_c, scale) + " read";
    if (all_.model.ware.mass_kg > 0)
        peak += ", " + whole_c(p_.ware_peak_c, scale) + " in the ware";
    if (asked.value)
        peak += fmt::format("; {} is asked", print_temperature(*asked.value, scale, 1));
    std::vector<Pair> all = {{"time", time()}, {"peak", peak}};
    for (const ShelfPrediction& shelf : all_.shelves) {
        std::string text = heat_work_line(shelf.reached);
        if (!shelf.name.empty())
            text = fmt::format("{} shelf: {}", readable_name(shelf.name), text);
        all.push_back({&shelf == &all_.shelves.front() ? "cones" : "", text});
    }
    return all;
}

std::vector<PredictionWords::Pair> PredictionWords::heat() const {
    const HeatBalance& balance = p_.balance;
    const bool fuel = std::isfinite(all_.model.flame_c);
    std::string text = fmt::format("{} {}", kwh(p_.supplied_j), fuel ? "of fuel" : "of power");
    if (all_.model.ware.mass_kg > 0)
        text += fmt::format(", {}kWh for each kilogram of ware",
                            print_number(p_.supplied_j / j_per_kwh / all_.model.ware.mass_kg, 1));
    const double whole = balance.supplied_j;
    std::vector<std::string> parts = {
        fmt::format("{} into the ware", percent(balance.ware_j, whole)),
        fmt::format("{} into shelves and props", percent(balance.chamber_j, whole)),
        fmt::format("{} into the lining", percent(balance.lining_j, whole))};
    if (balance.changes_j > 0.005 * whole)
        parts.push_back(
            fmt::format("{} for water and clay to change", percent(balance.changes_j, whole)));
    parts.push_back(fmt::format("{} {}", percent(balance.lost_j, whole),
                                fuel ? "up the flue and to the room" : "to the room"));
    std::vector<Pair> all = {{"in all", text}, {"it goes", joined(parts)}};
    if (!price_ || fuel)
        return all;
    const double energy = p_.supplied_j / j_per_kwh;
    const std::string money = price_->currency.empty() ? "" : " " + price_->currency;
    const std::string low = print_number(energy * price_->lowest_per_kwh, 2);
    const std::string high = print_number(energy * price_->highest_per_kwh, 2);
    all.push_back({"costs", low == high ? fmt::format("{}{} by {}", low, money, price_->tariff)
                                        : fmt::format("{} to {}{} by {}, by the hour it runs", low,
                                                      high, money, price_->tariff)});
    return all;
}

std::string PredictionWords::when(double time_s) const {
    std::string text = minutes(time_s) + " after the start";
    if (options_.start_clock_s) {
        const ClockTime clock = clock_after(*options_.start_clock_s + schedule_.delay_s, time_s);
        text += fmt::format(", {} on day {}", clock.text, clock.day);
    }
    return text;
}

// How fast the kiln falls as it passes a temperature for the last time.
std::optional<double> PredictionWords::fall_k_per_h(double at_c) const {
    constexpr double around_k = 15;
    const auto from = p_.cooled_to_s(at_c + around_k), to = p_.cooled_to_s(at_c - around_k);
    if (!from || !to || !(*to > *from) || *from <= 0)
        return std::nullopt;
    return 2 * around_k / (*to - *from) * 3600;
}

std::vector<PredictionWords::Pair> PredictionWords::opening() const {
    std::vector<Pair> all;
    if (drawn_hot(schedule_) || falls_short())
        return all;
    for (const Inversion& inversion : inversions) {
        const auto fall = fall_k_per_h(inversion.at_c);
        if (!fall || p_.peak_c < inversion.at_c + 50)
            continue;
        all.push_back({whole_c(inversion.at_c, options_.scale),
                       fmt::format("{}, falling at about {}: {} shrinks",
                                   when(*p_.cooled_to_s(inversion.at_c)),
                                   print_rate(std::round(*fall / 5) * 5, options_.scale, 0),
                                   inversion.mineral)});
    }
    for (const OpeningStep& step : opening_steps()) {
        const auto time_s = p_.cooled_to_s(step.at_c);
        all.push_back(
            {whole_c(step.at_c, options_.scale),
             fmt::format("{}: {}", time_s ? when(*time_s) : "after a long time", step.what)});
    }
    return all;
}

std::string PredictionWords::range(double OneRun::*value, double factor,
                                   std::string_view unit) const {
    const auto at = [&](double share) { return all_.many.quantile(value, share) * factor; };
    const double low = at(0.05), middle = at(0.5), high = at(0.95);
    const int decimals = std::abs(middle) < 10 ? 2 : std::abs(middle) < 100 ? 1 : 0;
    return fmt::format("{} to {}{}, mostly about {}", print_number(low, decimals),
                       print_number(high, decimals), unit, print_number(middle, decimals));
}

std::vector<PredictionWords::Pair> PredictionWords::many() const {
    std::vector<Pair> all;
    const std::size_t count = all_.many.runs.size();
    if (count == 0)
        return all;
    const RunVariation& v = all_.variation;
    all.push_back(
        {"varied",
         fmt::format("{} firings: sensor within {} (IEC 60584-1, class 2), mains {}%, load "
                     "{}%, start {}; numbers drawn from {}",
                     count,
                     step_k(std::max(v.sensor_k, v.sensor_share * p_.peak_c), options_.scale),
                     print_number(v.mains_share * 100), print_number(v.load_share * 100),
                     step_k(v.start_k, options_.scale), all_.seed)});
    if (const std::size_t stopped = all_.many.stopped(); stopped > 0)
        all.push_back(
            {"never done", fmt::format("{} of them", percent(static_cast<double>(stopped),
                                                             static_cast<double>(count)))});
    if (all_.many.stopped() == count)
        return all;
    const auto between = [&](double OneRun::*value, auto print) {
        const std::string low = print(all_.many.quantile(value, 0.05));
        const std::string high = print(all_.many.quantile(value, 0.95));
        if (low == high)
            return low;
        return fmt::format("{} to {} in nine of ten, {} in the middle", low, high,
                           print(all_.many.quantile(value, 0.5)));
    };
    all.push_back(
        {"peak", between(&OneRun::peak_c, [&](double c) { return whole_c(c, options_.scale); })});
    all.push_back({"time", between(&OneRun::duration_s, [](double s) { return minutes(s); })});
    all.push_back({"cone", between(&OneRun::cone,
                                   [](double position) { return cone_position_words(position); })});
    all.push_back({"energy", between(&OneRun::supplied_j, [](double j) { return kwh(j); })});
    if (price_ && std::isinf(all_.model.flame_c))
        all.push_back(
            {"costs at most", range(&OneRun::supplied_j, price_->highest_per_kwh / j_per_kwh,
                                    price_->currency.empty() ? "" : " " + price_->currency)});
    return all;
}

std::vector<std::string> PredictionWords::findings() const {
    std::vector<std::string> all;
    if (const std::string short_of_it = stopped(); !short_of_it.empty())
        all.push_back(short_of_it);
    for (std::string& text : advice())
        all.push_back(std::move(text));
    if (!all.empty())
        return all;
    double furthest = 0;
    for (const PhasePrediction& phase : all_.phases)
        furthest = std::max({furthest, phase.behind_k, phase.ahead_k});
    const std::string off = step_k(std::max(1.0, std::ceil(furthest)), options_.scale);
    all.push_back(
        furthest > noticeable_k
            ? fmt::format(
                  "Nothing that matters: it is up to {} off, where the curve turns a corner.", off)
            : fmt::format("Nothing: it stays within {} of what is asked.", off));
    return all;
}

std::vector<std::string> PredictionWords::advice() const {
    const Scale scale = options_.scale;
    std::vector<std::string> all;
    for (const CannotFollow& item : all_.cannot_follow) {
        const Segment& segment = schedule_.segments[item.segment];
        const std::string where = fmt::format("Step {}, {}", item.segment + 1,
                                              readable_name(schedule_.phases[segment.phase].name));
        const double off = std::abs(item.at_end_k);
        const double made = std::max(0.0, std::floor(item.made_k_per_h / 5) * 5);
        const std::string asked =
            segment.kind == SegmentKind::soak
                ? fmt::format("{} is held", whole_c(segment.to_c, scale))
                : fmt::format("{} is asked",
                              print_rate(std::abs(item.asked_k_per_h.value_or(0)), scale, 0));
        const std::string rate = print_rate(made, scale, 0);
        switch (item.why) {
        case CannotFollow::Why::too_little_power:
            all.push_back(fmt::format(
                "{}: {}, but at full power the kiln makes about {} from {} on and ends {} behind. "
                "Ask for {} there, load less, or let a soak wait (`waiting within 5C`).",
                where, asked, print_rate(item.made_k_per_h, scale, 0), whole_c(item.from_c, scale),
                step_k(off, scale), rate));
            break;
        case CannotFollow::Why::cools_slower:
            all.push_back(fmt::format(
                "{}: {}, but shut and without power the kiln falls at about {} from {} on and "
                "ends {} too hot. Give it more time, or open the vent as its maker allows.",
                where, asked, print_rate(item.made_k_per_h, scale, 0), whole_c(item.from_c, scale),
                step_k(off, scale)));
            break;
        case CannotFollow::Why::sluggish:
            all.push_back(fmt::format("{}: up to {} off before the control has caught up. A slower "
                                      "climb into it, or a soak, closes the gap.",
                                      where, step_k(item.worst_k, scale)));
            break;
        }
    }
    return all;
}

std::string PredictionWords::stopped() const {
    const Scale scale = options_.scale;
    const Prediction& p = p_;
    if (p.end != FiringEnd::never_reaches && p.end != FiringEnd::never_cools)
        return {};
    const Segment& segment = schedule_.segments[p.stopped_in];
    const std::string goal = whole_c(segment.to_c, scale);
    const std::string at = whole_c(p.stopped_at_c, scale);
    if (p.end == FiringEnd::never_reaches) {
        return fmt::format(
            "Step {}: the kiln never reaches {}. At full power it stands still at {}: "
            "its power of {}kW is then all lost through the walls{}.",
            p.stopped_in + 1, goal, at, print_number(all_.model.power_w / 1000, 1),
            std::isfinite(all_.model.flame_c) ? " and up the flue" : "");
    }
    return fmt::format(
        "Step {}: the kiln never cools to {}. It comes to rest at {}: its room has {}.",
        p.stopped_in + 1, goal, at, whole_c(all_.model.ambient_c, scale));
}

} // namespace fettle
