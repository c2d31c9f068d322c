#include "compiler/output/show.h"

#include "compiler/output/cautions.h"
#include "compiler/output/page.h"
#include "compiler/output/step_table.h"
#include "runtime/schedule/curve.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace fettle {

namespace {

constexpr std::size_t label_width = 12;

void put_labelled(Page& page, std::string_view label, std::string_view text) {
    if (!text.empty()) {
        page.paragraph(2, left_in(label, label_width), text);
    }
}

void put_heading(Page& page, std::string_view text) {
    page.blank();
    page.line(text, Ink::strong);
}

std::string title_and_name(const NamedProfile& profile) {
    if (profile.title.empty()) {
        return std::string(profile.name);
    }
    return fmt::format("{} ({})", profile.title, profile.name);
}

std::string joined(const std::vector<std::string>& parts) {
    return fmt::format("{}", fmt::join(parts, ", "));
}

// "5C" for a difference: after "within" it can be nothing else.
std::string printed_step(double kelvin, Scale scale) {
    return print_number(difference_to_scale(kelvin, scale), 1) +
           (scale == Scale::celsius ? "C" : "F");
}

// --- the head -----------------------------------------------------------------------------------

std::string ware_line(const WareGroup& ware) {
    std::vector<std::string> parts;
    if (!ware.body.name.empty()) {
        parts.push_back(title_and_name(ware.body));
    }
    if (!ware.glaze.name.empty()) {
        parts.push_back("glaze " + title_and_name(ware.glaze));
    }
    if (ware.thickness_mm) {
        parts.push_back(print_number(*ware.thickness_mm, 1) + "mm thick");
    }
    const bool was_fired = !ware.state.empty() && ware.state != "raw";
    if (was_fired) {
        parts.push_back(ware.bisqued.empty() ? std::string(ware.state)
                                             : fmt::format("bisqued to {}", ware.bisqued));
    } else if (ware.moisture) { // bisque has none that counts
        parts.push_back(print_number(*ware.moisture * 100, 1) + "% moist");
    }
    if (ware.mass_kg) {
        parts.push_back(print_number(*ware.mass_kg, 1) + "kg");
    }
    if (!ware.shelf.empty()) {
        parts.push_back(fmt::format("shelf {}", ware.shelf));
    }
    return joined(parts);
}

std::string template_line(const FiringDocument& document) {
    std::vector<std::string> parts;
    for (const Argument& argument : document.arguments) {
        parts.push_back(fmt::format("{} {}", argument.name, argument.value));
    }
    std::string text(document.template_name);
    if (!parts.empty() && !text.empty()) {
        text += ": ";
    }
    return text + joined(parts);
}

std::string start_line(const FiringDocument& document, const ShowOptions& options) {
    const Schedule& schedule = *document.schedule;
    std::string text = "at " + print_temperature(schedule.start_c, options.scale, 1);
    if (options.start_clock_s) {
        text += ", program started at " + print_clock(*options.start_clock_s);
    }
    if (schedule.delay_s > 0) {
        text += fmt::format(", first step after {}", print_duration(schedule.delay_s));
    }
    return text;
}

void put_head(Page& page, const FiringDocument& document, const ShowOptions& options) {
    const std::string name = one_line(document.name);
    if (document.title.empty()) {
        page.line(shortened(name, page.width(), page.ascii()), Ink::strong);
    } else {
        page.two_ends(one_line(document.title), name, Ink::strong);
    }
    if (!document.about.empty()) {
        page.paragraph(0, "", document.about);
    }
    page.blank();
    put_labelled(page, "made from", template_line(document));
    put_labelled(page, "kiln", title_and_name(document.kiln));
    put_labelled(page, "controller", title_and_name(document.controller));
    if (document.load.empty()) {
        put_labelled(page, "body", title_and_name(document.body));
    }
    for (const WareGroup& ware : document.load) {
        put_labelled(page,
                     ware.name.empty()
                         ? "ware"
                         : shortened(one_line(ware.name), label_width - 1, page.ascii()),
                     ware_line(ware));
    }
    put_labelled(page, "start", start_line(document, options));
}

void put_confirmations(Page& page, const FiringDocument& document) {
    if (document.confirms.empty()) {
        return;
    }
    put_heading(page, "Before the start");
    for (const Confirmation& confirmation : document.confirms) {
        std::string text(confirmation.text);
        if (!confirmation.by.empty()) {
            text += fmt::format(" (to be signed by: {})", confirmation.by);
        }
        page.paragraph(2, "[ ] ", text);
    }
}

// --- totals -------------------------------------------------------------------------------------

std::string duration_line(const Schedule& schedule) {
    const Curve known(schedule), estimated(schedule, Estimates::use);
    std::string text = printed_time(known.duration().value, estimated.duration().value);
    if (text == "?") {
        text = "not known: a climb at full speed takes the kiln's own time";
    }
    const auto cooling = estimated.free_cooling();
    if (cooling.value && cooling.segments.empty()) {
        return text;
    }
    return text + (cooling.value ? fmt::format(", without {} of cooling in the kiln's own time",
                                               printed_time({}, cooling.value))
                                 : ", without cooling in the kiln's own time (not known)");
}

// "step 3", "steps 5 and 6", "steps 1, 4, 7".
std::string steps_of(const std::vector<std::uint32_t>& segments) {
    constexpr std::size_t most = 8;
    if (segments.size() == 2) {
        return fmt::format("steps {} and {}", segments[0] + 1, segments[1] + 1);
    }
    std::vector<std::string> numbers;
    for (std::size_t i = 0; i < segments.size() && i < most; ++i) {
        numbers.push_back(fmt::format("{}", segments[i] + 1));
    }
    if (segments.size() > most) {
        numbers.push_back(fmt::format("{} more", segments.size() - most));
    }
    return (segments.size() == 1 ? "step " : "steps ") + joined(numbers);
}

// When all is over, by the clock, where that is known or estimated.
std::string end_line(const Schedule& schedule, const ShowOptions& options) {
    const auto end = Curve(schedule, Estimates::use).starts_s().back();
    if (!options.start_clock_s || !end) {
        return {};
    }
    const bool known = Curve(schedule).starts_s().back().has_value();
    const double time_s = std::round((*options.start_clock_s + schedule.delay_s + *end) / 60) * 60;
    const auto day = static_cast<long long>(time_s / 86400) + 1;
    return fmt::format("{}{}{}", known ? "" : "about ", print_clock(std::fmod(time_s, 86400)),
                       day == 1 ? "" : fmt::format(" on day {}", day));
}

std::string peak_line(const Schedule& schedule, Scale scale) {
    const auto peak = Curve(schedule).peak();
    std::string text = print_temperature(*peak.value, scale, 1);
    if (!peak.segments.empty()) {
        text += ", " + steps_of(peak.segments);
    }
    return text;
}

std::string heat_work_line(const HeatWorkReached& heat_work) {
    if (heat_work.cone.empty() && heat_work.next_cone.empty()) {
        return {};
    }
    std::string text = heat_work.cone.empty() ? std::string("no cone complete")
                                              : fmt::format("cone {} complete", heat_work.cone);
    if (!heat_work.next_cone.empty() && heat_work.fraction_to_next) {
        text +=
            fmt::format(", {}% of the way to cone {}",
                        print_number(*heat_work.fraction_to_next * 100, 0), heat_work.next_cone);
    }
    return text;
}

void put_totals(Page& page, const FiringDocument& document, const ShowOptions& options) {
    if (document.schedule->segments.empty()) {
        return;
    }
    put_heading(page, "In all");
    put_labelled(page, "time", duration_line(*document.schedule));
    put_labelled(page, "ends", end_line(*document.schedule, options));
    put_labelled(page, "peak", peak_line(*document.schedule, options.scale));
    put_labelled(page, "heat work", heat_work_line(document.heat_work));
}

// --- acceptance ---------------------------------------------------------------------------------

// A value in the unit of its check, in the reader's scale where it is a temperature.
std::string printed_value(double value, std::string_view unit, Scale scale) {
    if (unit == "C") {
        return print_temperature(value, scale, 1);
    }
    if (unit == "dC") {
        return print_difference(value, scale, 1);
    }
    if (unit == "C/h") {
        return print_rate(value, scale, 1);
    }
    if (unit == "s") {
        return print_duration(value);
    }
    if (unit == "min") {
        return print_duration(value * 60);
    }
    return fmt::format("{}{}", print_number(value), unit);
}

std::string accept_line(const AcceptItem& item, const Schedule& schedule, Scale scale) {
    const double tolerance = item.tolerance.value_or(0);
    const std::string value = item.value ? printed_value(*item.value, item.unit, scale) : "";
    if (item.kind == "peak") {
        return fmt::format(
            "the peak is within {} of {}", printed_step(tolerance, scale),
            value.empty() ? print_temperature(*Curve(schedule).peak().value, scale, 1) : value);
    }
    if (item.kind == "soak") {
        return fmt::format("it soaks at least {} within {} of the peak",
                           print_duration(item.value.value_or(0)), printed_step(tolerance, scale));
    }
    if (item.kind == "witness") {
        return fmt::format("the witness cone {}{} is down", item.cone,
                           item.shelf.empty() ? "" : fmt::format(" on the {} shelf", item.shelf));
    }
    if (item.kind == "duration") {
        return fmt::format("it takes the time asked, within {}", print_duration(tolerance));
    }
    return fmt::format("{} {}", item.kind, value);
}

void put_acceptance(Page& page, const FiringDocument& document, const ShowOptions& options) {
    if (document.accept.empty()) {
        return;
    }
    put_heading(page, "The firing is as specified when");
    for (const AcceptItem& item : document.accept) {
        page.paragraph(2, "- ", accept_line(item, *document.schedule, options.scale));
    }
}

// --- rules --------------------------------------------------------------------------------------

struct ResultWords {
    CheckResult result;
    std::string_view one, many;
};
constexpr ResultWords result_words[] = {
    {CheckResult::holds, "holds", "hold"},
    {CheckResult::broken, "is broken", "are broken"},
    {CheckResult::waived, "is waived", "are waived"},
    {CheckResult::unknown, "could not be checked", "could not be checked"},
    {CheckResult::not_applicable, "does not apply", "do not apply"},
};

std::string counts(const std::vector<Check>& checks) {
    if (std::all_of(checks.begin(), checks.end(),
                    [](const Check& check) { return check.result == CheckResult::holds; })) {
        return fmt::format("{} checked, all hold", checks.size());
    }
    std::vector<std::string> parts;
    for (const ResultWords& words : result_words) {
        const auto count = std::count_if(checks.begin(), checks.end(), [&](const Check& check) {
            return check.result == words.result;
        });
        if (count > 0) {
            parts.push_back(fmt::format("{} {}", count, count == 1 ? words.one : words.many));
        }
    }
    return joined(parts);
}

std::string printed(const CheckValue& value, std::string_view unit, Scale scale) {
    if (const auto* number = std::get_if<double>(&value)) {
        return printed_value(*number, unit, scale);
    }
    if (const auto* words = std::get_if<std::string_view>(&value)) {
        return std::string(*words);
    }
    return {};
}

std::string found_line(const Check& check, Scale scale) {
    std::vector<std::string> parts;
    const std::string found = printed(check.found, check.unit, scale);
    const std::string allowed = printed(check.allowed, check.unit, scale);
    if (!found.empty()) {
        parts.push_back("found " + found);
    }
    if (!allowed.empty()) {
        parts.push_back((check.sense == Check::Sense::least  ? "at least "
                         : check.sense == Check::Sense::most ? "at most "
                                                             : "should be ") +
                        allowed);
    }
    if (!check.segments.empty()) {
        parts.push_back(steps_of(check.segments));
    }
    return joined(parts);
}

std::string_view kind_of(const Check& check) {
    if (check.result == CheckResult::waived) {
        return "waived";
    }
    if (check.result == CheckResult::unknown) {
        return "unknown";
    }
    switch (check.level) {
    case CheckLevel::advice: return "advice";
    case CheckLevel::caution: return "caution";
    case CheckLevel::error: return "ERROR";
    }
    return {};
}

Ink ink_of(const Check& check) {
    if (check.result != CheckResult::broken || check.level == CheckLevel::advice) {
        return Ink::plain;
    }
    return check.level == CheckLevel::error ? Ink::error : Ink::caution;
}

std::string check_name(const Check& check) {
    return check.group.empty() ? std::string(check.rule)
                               : fmt::format("{} for {}", check.rule, check.group);
}

void put_check(Page& page, const Check& check, Scale scale) {
    const std::size_t indent = 2 + label_width;
    std::string head(check.rule);
    if (!check.group.empty()) {
        head += fmt::format(" for {}", check.group);
    }
    if (!check.title.empty()) {
        head += fmt::format(": {}", check.title);
    }
    page.paragraph(2, left_in(kind_of(check), label_width), head, ink_of(check));
    const std::string found = found_line(check, scale);
    if (!found.empty()) {
        page.paragraph(indent, "", found);
    }
    if (check.result == CheckResult::waived) {
        page.paragraph(indent, "", fmt::format("allowed because {}", check.waiver));
    }
    if (!check.reason.empty()) {
        page.paragraph(indent, "why:  ", check.reason);
    }
    if (!check.remedy.empty() && check.result == CheckResult::broken) {
        page.paragraph(indent, "mend: ", check.remedy);
    }
}

// What only `why` tells.
bool is_quiet(const Check& check) {
    return check.result == CheckResult::holds || check.result == CheckResult::not_applicable;
}

void put_quiet_check(Page& page, const Check& check, Scale scale) {
    const std::string found = found_line(check, scale);
    page.paragraph(2,
                   left_in(check.result == CheckResult::holds ? "holds" : "not here", label_width),
                   check_name(check) + (found.empty() ? "" : ": " + found), Ink::faint);
}

void put_rules(Page& page, const FiringDocument& document, const ShowOptions& options) {
    if (document.checks.empty()) {
        return;
    }
    put_heading(page, "Rules");
    page.paragraph(2, "", counts(document.checks));
    std::vector<const Check*> told;
    for (const Check& check : document.checks) {
        if (!is_quiet(check)) {
            told.push_back(&check);
        }
    }
    // Gravest first: what is broken by its level, then what was waived, then what is not known.
    std::stable_sort(told.begin(), told.end(), [](const Check* a, const Check* b) {
        if (a->result != b->result) {
            return a->result < b->result;
        }
        return a->level > b->level;
    });
    for (const Check* check : told) {
        put_check(page, *check, options.scale);
    }
    if (!options.why) {
        return;
    }
    for (const Check& check : document.checks) {
        if (is_quiet(check)) {
            put_quiet_check(page, check, options.scale);
        }
    }
}

// --- the curve, the cautions --------------------------------------------------------------------

void put_curve(Page& page, const FiringDocument& document, const ShowOptions& options) {
    if (options.curve_height == 0 || document.schedule->segments.empty()) {
        return;
    }
    PlotOptions plot{.width = page.width(),
                     .height = options.curve_height,
                     .scale = options.scale,
                     .style = options.plain     ? PlotStyle::ascii
                              : options.braille ? PlotStyle::braille
                                                : PlotStyle::lines,
                     .first_segment_clock_s = {}};
    if (options.start_clock_s) {
        plot.first_segment_clock_s = *options.start_clock_s + document.schedule->delay_s;
    }
    page.blank();
    for (const std::string& line : plot_curve(*document.schedule, plot)) {
        page.line(line);
    }
}

void put_cautions(Page& page, const FiringDocument& document) {
    put_heading(page, "Safety");
    for (std::string_view caution : cautions(document)) {
        page.paragraph(2, "- ", caution);
    }
}

} // namespace

std::string show(const FiringDocument& document, const ShowOptions& options) {
    Page page(std::max<std::size_t>(options.width, 60), options.plain, options.colour);
    put_head(page, document, options);
    put_confirmations(page, document);
    page.blank();
    if (document.schedule->segments.empty()) {
        page.line("This firing has no steps.");
    } else {
        put_step_table(page, *document.schedule, options);
    }
    put_totals(page, document, options);
    put_curve(page, document, options);
    put_rules(page, document, options);
    put_acceptance(page, document, options);
    put_cautions(page, document);
    return std::move(page).take();
}

} // namespace fettle
