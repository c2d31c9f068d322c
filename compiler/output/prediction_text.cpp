#include "compiler/output/prediction_text.h"

#include "compiler/output/columns.h"
#include "compiler/output/page.h"
#include "compiler/output/phrases.h"
#include "compiler/source/characters.h"
#include "runtime/schedule/curve.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace fettle {
namespace {

constexpr std::size_t label_width = 12;
constexpr double j_per_kwh = 3.6e6;

// Ware inside lags the sensor, and cristobalite inverts at 200 to 270 C.
constexpr OpeningStep steps_of_opening[] = {
    {150, "prop the lid or the door by a finger's breadth"},
    {100, "open it"},
    {50, "unload, with the power off at the wall"},
};

void put_labelled(Page& page, std::string_view label, std::string_view text) {
    if (!text.empty())
        page.paragraph(2, left_in(label, label_width), text);
}
void put_heading(Page& page, std::string_view text) {
    page.blank();
    page.line(text, Ink::strong);
}

std::string minutes(double seconds) {
    return print_duration(std::round(seconds / 60) * 60);
}
std::string whole_c(double celsius, Scale scale) {
    return print_temperature(celsius, scale, 0);
}
// "5C" as difference.
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

// --- asked and predicted, by phase
// ----------------------------------------------------------------

std::string lag_words(const PhasePrediction& phase, Scale scale) {
    if (phase.behind_k < 0.5 && phase.ahead_k < 0.5)
        return "none";
    if (phase.behind_k >= phase.ahead_k)
        return fmt::format("{} behind", step_k(phase.behind_k, scale));
    return fmt::format("{} too hot", step_k(phase.ahead_k, scale));
}

void put_phases(Page& page, const Schedule& schedule, const FiringPrediction& prediction,
                Scale scale) {
    put_heading(page, "Asked and expected, by phase");
    std::size_t name_width = 5;
    for (const Phase& phase : schedule.phases)
        name_width = std::max(name_width, display_width(one_line(phase.name)));
    name_width = std::min(name_width, page.width() > 70 ? page.width() - 56 : std::size_t{14});
    const auto row = [&](std::string_view name, std::string_view asked, std::string_view takes,
                         std::string_view lag, std::string_view end, std::string_view energy) {
        page.line(fmt::format("  {} {} {}  {} {} {}",
                              left_in(shortened(name, name_width, page.ascii()), name_width),
                              right_in(asked, 9), right_in(takes, 9), left_in(lag, 14),
                              right_in(end, 7), right_in(energy, 8)));
    };
    row("phase", "asked", "takes", "furthest off", "ends at", "energy");
    for (const PhasePrediction& phase : prediction.phases) {
        row(one_line(schedule.phases[phase.phase].name),
            phase.asked_s ? minutes(*phase.asked_s) : "its own",
            minutes(phase.end_s - phase.begin_s), lag_words(phase, scale),
            whole_c(phase.end_c, scale), kwh(phase.supplied_j));
    }
}

// --- the curve
// ------------------------------------------------------------------------------------

// The predicted curve to the end of the last segment as a schedule, so that it is drawn like one.
Schedule drawn_curve(const Schedule& schedule, const Prediction& prediction) {
    Schedule drawn;
    drawn.start_c = prediction.curve.front().kiln_c;
    drawn.phases = schedule.phases;
    std::size_t segment = 0;
    for (std::size_t i = 1; i < prediction.curve.size(); ++i) {
        const PredictedPoint &from = prediction.curve[i - 1], &to = prediction.curve[i];
        if (!(to.time_s > from.time_s) || to.time_s > prediction.duration_s + 1e-6)
            continue;
        while (segment + 1 < prediction.segments.size() &&
               from.time_s >= prediction.segments[segment].end_s - 1e-6)
            ++segment;
        Segment& piece = drawn.segments.emplace_back();
        piece.from_c = from.kiln_c;
        piece.to_c = to.kiln_c;
        piece.duration_s = to.time_s - from.time_s;
        piece.phase = schedule.segments.empty() ? 0 : schedule.segments[segment].phase;
    }
    return drawn;
}

void put_curve(Page& page, const Schedule& schedule, const FiringPrediction& prediction,
               const ShowOptions& options) {
    if (options.curve_height == 0 || prediction.prediction.curve.size() < 2)
        return;
    const Schedule drawn = drawn_curve(schedule, prediction.prediction);
    PlotOptions plot;
    plot.width = page.width();
    plot.height = options.curve_height;
    plot.scale = options.scale;
    plot.style = options.plain ? PlotStyle::ascii : PlotStyle::lines;
    if (options.start_clock_s)
        plot.first_segment_clock_s = *options.start_clock_s + schedule.delay_s;
    plot.dotted_meaning = "what is asked, where the kiln is elsewhere";
    for (const PredictedPoint& point : prediction.prediction.curve) {
        if (point.asked_c && std::abs(*point.asked_c - point.kiln_c) > noticeable_k)
            plot.dotted.push_back({point.time_s, *point.asked_c});
    }
    put_heading(page, "The curve to expect");
    for (const std::string& line : plot_curve(drawn, plot))
        page.line(line);
}

// --- time, heat, cones, cooling
// -------------------------------------------------------------------

// What is fired, and what the kiln then takes to cool as asked.
std::string hours_line(const Schedule& schedule, const Prediction& prediction) {
    double cooling_s = 0;
    for (std::size_t i = prediction.segments.size(); i-- > 0;) {
        const SegmentKind kind = schedule.segments[i].kind;
        if (kind != SegmentKind::free && kind != SegmentKind::opened)
            break;
        cooling_s += prediction.segments[i].end_s - prediction.segments[i].begin_s;
    }
    std::string text = minutes(prediction.duration_s - cooling_s);
    if (const auto asked = Curve(schedule).duration(); asked.value) {
        const double longer = prediction.duration_s - cooling_s - *asked.value;
        if (longer >= 60)
            text += fmt::format(" ({} more than asked)", minutes(longer));
    }
    if (cooling_s > 0)
        text += fmt::format(", and {} of cooling in the kiln's own time", minutes(cooling_s));
    return text;
}

void put_result(Page& page, const Schedule& schedule, const FiringPrediction& prediction,
                const ShowOptions& options) {
    const Prediction& p = prediction.prediction;
    put_heading(page, "What to expect");
    put_labelled(page, "time", hours_line(schedule, p));
    const auto asked = Curve(schedule).peak();
    std::string peak = print_temperature(p.peak_c, options.scale, 0) + " in the kiln";
    if (prediction.model.sensor_offset_k != 0)
        peak += ", " + print_temperature(p.peak_read_c, options.scale, 0) + " read";
    if (prediction.model.ware.mass_kg > 0)
        peak += ", " + print_temperature(p.ware_peak_c, options.scale, 0) + " in the ware";
    if (asked.value)
        peak += fmt::format("; {} is asked", print_temperature(*asked.value, options.scale, 1));
    put_labelled(page, "peak", peak);
    for (const ShelfPrediction& shelf : prediction.shelves) {
        std::string text = heat_work_line(shelf.reached);
        if (!shelf.name.empty())
            text = fmt::format("{} shelf: {}", readable_name(shelf.name), text);
        put_labelled(page, &shelf == &prediction.shelves.front() ? "cones" : "", text);
    }
}

void put_heat(Page& page, const FiringPrediction& prediction,
              const std::optional<EnergyPrice>& price) {
    const Prediction& p = prediction.prediction;
    const HeatBalance& balance = p.balance;
    const bool fuel = std::isfinite(prediction.model.flame_c);
    put_heading(page, "Heat");
    std::string text = fmt::format("{} {}", kwh(p.supplied_j), fuel ? "of fuel" : "of power");
    if (prediction.model.ware.mass_kg > 0)
        text +=
            fmt::format(", {}kWh for each kilogram of ware",
                        print_number(p.supplied_j / j_per_kwh / prediction.model.ware.mass_kg, 1));
    put_labelled(page, "in all", text);
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
    put_labelled(page, "it goes", joined(parts));
    if (!price || fuel)
        return;
    const double energy = p.supplied_j / j_per_kwh;
    const std::string money = price->currency.empty() ? "" : " " + price->currency;
    const std::string low = print_number(energy * price->lowest_per_kwh, 2);
    const std::string high = print_number(energy * price->highest_per_kwh, 2);
    put_labelled(page, "costs",
                 low == high ? fmt::format("{}{} by {}", low, money, price->tariff)
                             : fmt::format("{} to {}{} by {}, by the hour it runs", low, high,
                                           money, price->tariff));
}

void put_cooling(Page& page, const Schedule& schedule, const FiringPrediction& prediction,
                 const ShowOptions& options) {
    const bool drawn_hot =
        std::any_of(schedule.segments.begin(), schedule.segments.end(),
                    [](const Segment& segment) { return segment.kind == SegmentKind::opened; });
    if (drawn_hot)
        return;
    put_heading(page, "Shut and left alone, it may be opened");
    for (const OpeningStep& step : opening_steps()) {
        const auto when = prediction.prediction.cooled_to_s(step.at_c);
        std::string text = when ? minutes(*when) + " after the start" : "a long time";
        if (when && options.start_clock_s) {
            const ClockTime clock = clock_after(*options.start_clock_s + schedule.delay_s, *when);
            text += fmt::format(", {} on day {}", clock.text, clock.day);
        }
        put_labelled(page, whole_c(step.at_c, options.scale),
                     fmt::format("{}: {}", text, step.what));
    }
    page.paragraph(2, "",
                   "The temperatures are common practice; the slowest piece counts, and the "
                   "maker's word comes first.");
}

void put_advice(Page& page, const Schedule& schedule, const FiringPrediction& prediction,
                Scale scale) {
    const std::string stopped = stopped_short(schedule, prediction, scale);
    const std::vector<std::string> advice = advice_on(schedule, prediction, scale);
    put_heading(page, "What the kiln can't follow");
    if (!stopped.empty())
        page.paragraph(2, "- ", stopped, Ink::error);
    for (const std::string& text : advice)
        page.paragraph(2, "- ", text, Ink::caution);
    if (!stopped.empty() || !advice.empty())
        return;
    double furthest = 0;
    for (const PhasePrediction& phase : prediction.phases)
        furthest = std::max({furthest, phase.behind_k, phase.ahead_k});
    const std::string off = step_k(std::max(1.0, std::ceil(furthest)), scale);
    page.paragraph(
        2, "",
        furthest > noticeable_k
            ? fmt::format(
                  "Nothing that matters: it is up to {} off, where the curve turns a corner.", off)
            : fmt::format("Nothing: it stays within {} of what is asked.", off));
}

} // namespace

std::span<const OpeningStep> opening_steps() {
    return steps_of_opening;
}

std::vector<std::string> advice_on(const Schedule& schedule, const FiringPrediction& prediction,
                                   Scale scale) {
    std::vector<std::string> all;
    for (const CannotFollow& item : prediction.cannot_follow) {
        const Segment& segment = schedule.segments[item.segment];
        const std::string where =
            fmt::format("Step {}, {}", item.segment + 1,
                        one_line(readable_name(schedule.phases[segment.phase].name)));
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

std::string stopped_short(const Schedule& schedule, const FiringPrediction& prediction,
                          Scale scale) {
    const Prediction& p = prediction.prediction;
    if (p.end != FiringEnd::never_reaches && p.end != FiringEnd::never_cools)
        return {};
    const Segment& segment = schedule.segments[p.stopped_in];
    const std::string goal = whole_c(segment.to_c, scale);
    const std::string at = whole_c(p.stopped_at_c, scale);
    if (p.end == FiringEnd::never_reaches) {
        return fmt::format(
            "Step {}: the kiln never reaches {}. At full power it stands still at {}: "
            "its power of {}kW is then all lost through the walls{}.",
            p.stopped_in + 1, goal, at, print_number(prediction.model.power_w / 1000, 1),
            std::isfinite(prediction.model.flame_c) ? " and up the flue" : "");
    }
    return fmt::format(
        "Step {}: the kiln never cools to {}. It comes to rest at {}: its room has {}.",
        p.stopped_in + 1, goal, at, whole_c(prediction.model.ambient_c, scale));
}

std::string prediction_text(const FiringDocument& document, const FiringPrediction& prediction,
                            const std::optional<EnergyPrice>& price, const ShowOptions& options) {
    const Schedule& schedule = *document.schedule;
    Page page(std::max<std::size_t>(options.width, 60), options.plain, options.colour);
    const std::string name = one_line(document.name);
    if (document.title.empty()) {
        page.line(shortened(name, page.width(), page.ascii()), Ink::strong);
    } else {
        page.two_ends(one_line(document.title), name, Ink::strong);
    }
    page.blank();
    put_labelled(page, "kiln", title_and_name(document.kiln));
    for (const std::string& text : prediction.assumed)
        put_labelled(page, &text == &prediction.assumed.front() ? "taken for" : "", text);
    put_phases(page, schedule, prediction, options.scale);
    put_curve(page, schedule, prediction, options);
    put_result(page, schedule, prediction, options);
    put_advice(page, schedule, prediction, options.scale);
    put_heat(page, prediction, price);
    if (prediction.prediction.end == FiringEnd::done)
        put_cooling(page, schedule, prediction, options);
    page.blank();
    page.paragraph(0, "",
                   "A prediction by a model of the kiln, not a promise: elements age, and no "
                   "two loads are alike.");
    return std::move(page).take();
}

} // namespace fettle
