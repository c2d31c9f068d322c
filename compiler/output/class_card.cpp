#include "compiler/output/class_card.h"

#include "compiler/output/html_page.h"
#include "compiler/output/phrases.h"
#include "compiler/output/sheet_parts.h"

#include <algorithm>
#include <cmath>

namespace fettle {

namespace {

struct Stretch {
    std::size_t begin, end; // segments of one phase
};

std::vector<Stretch> stretches_of(const Schedule& schedule) {
    std::vector<Stretch> stretches;
    const auto& segments = schedule.segments;
    for (std::size_t i = 0; i < segments.size(); ++i) {
        if (i == 0 || segments[i].phase != segments[i - 1].phase) {
            stretches.push_back({i, i});
        }
        stretches.back().end = i + 1;
    }
    return stretches;
}

// "20C to 150C, 4h10m, at 60C/h with soaks"
std::string what_happens(const Schedule& schedule, const Stretch& stretch, Scale scale) {
    std::optional<double> known = 0, estimated = 0;
    double slowest = 0, fastest = 0;
    bool soaks = false;
    for (std::size_t i = stretch.begin; i < stretch.end; ++i) {
        const Segment& segment = schedule.segments[i];
        const auto own = segment.duration_s;
        const auto guess = own ? own : segment.estimated_duration_s;
        known = known && own ? std::optional(*known + *own) : std::nullopt;
        estimated = estimated && guess ? std::optional(*estimated + *guess) : std::nullopt;
        soaks = soaks || segment.kind == SegmentKind::soak;
        const double rate = std::fabs(segment.rate_k_per_h().value_or(0));
        if (segment.kind == SegmentKind::ramp) {
            slowest = slowest > 0 ? std::min(slowest, rate) : rate;
            fastest = std::max(fastest, rate);
        }
    }
    std::vector<std::string> parts = {
        fmt::format("{} to {}", print_temperature(schedule.segments[stretch.begin].from_c, scale),
                    print_temperature(schedule.segments[stretch.end - 1].to_c, scale))};
    const std::string time = printed_time(known, estimated);
    parts.push_back(time == "?" ? "in the kiln's own time" : time);
    if (fastest > 0) {
        std::string rate = print_rate(fastest, scale);
        if (std::round(slowest) != std::round(fastest)) {
            rate = fmt::format("{} to {}", print_rate(slowest, scale), rate);
        }
        parts.push_back(rate + (soaks ? " and soaks" : ""));
    }
    return joined(parts);
}

void put_phase(std::string& html, const Schedule& schedule, const Stretch& stretch, Scale scale) {
    const Phase& phase = schedule.phases[schedule.segments[stretch.begin].phase];
    html += "<section class=\"why\">\n<h2 dir=\"auto\">";
    append_escaped(html, readable_name(phase.name));
    html += "</h2>\n<p class=\"quiet\">";
    append_text(html, what_happens(schedule, stretch, scale));
    html += "</p>\n";
    if (!phase.title.empty()) {
        html += "<h3 dir=\"auto\">";
        append_escaped(html, phase.title);
        html += "</h3>\n";
    }
    const auto paragraph = [&](std::string_view text) {
        html += "<p dir=\"auto\">";
        append_escaped(html, text);
        html += "</p>\n";
    };
    if (!phase.about.empty()) {
        paragraph(phase.about);
    }
    for (std::size_t i = stretch.begin; i < stretch.end; ++i) {
        for (const std::string& note : schedule.segments[i].notes) {
            paragraph(note);
        }
    }
    html += "</section>\n";
}

std::string_view mark_of(CheckResult result) {
    switch (result) {
    case CheckResult::holds: return {};
    case CheckResult::broken: return "Not kept";
    case CheckResult::waived: return "Waived";
    case CheckResult::unknown: return "Not known";
    case CheckResult::not_applicable: break;
    }
    return {};
}

// A rule with its values, and what it is good for.
void put_rule(std::string& html, const Check& check, Scale scale) {
    const std::string_view mark = mark_of(check.result);
    html += "<li>";
    if (!mark.empty()) {
        put(html, "<strong>{}:</strong> ", mark);
    }
    html += "<b>";
    append_text(html, check.title.empty() ? readable_name(check.rule) : std::string(check.title));
    html += "</b>";
    std::vector<std::string> values;
    if (!check.group.empty()) {
        values.push_back(readable_name(check.group));
    }
    const std::string found = found_line(check, scale);
    // "found open, should be closed" of a rule that is kept says the contrary of what it means.
    if (!found.empty() &&
        (check.result != CheckResult::holds || check.sense != Check::Sense::other)) {
        values.push_back(found);
    }
    if (!values.empty()) {
        html += " <span class=\"quiet\">";
        append_text(html, joined(values));
        html += "</span>";
    }
    const std::string_view why = check.result == CheckResult::holds    ? check.because
                                 : check.result == CheckResult::waived ? check.waiver
                                                                       : check.reason;
    if (!why.empty()) {
        html += check.result == CheckResult::waived ? "<br>because " : "<br>";
        append_text(html, why);
    }
    html += "</li>\n";
}

// How many rules that hold there is room for on one page, by what the phases have to say: in
// millimetres of paper. What these figures get wrong, tests/output/check_pages.py finds.
std::size_t room_for_rules(const FiringDocument& document) {
    constexpr double phase_mm = 15, line_mm = 3.5, letters_of_line = 60, cones_mm = 24;
    const Schedule& schedule = *document.schedule;
    double phases_mm = cones_mm;
    for (const Stretch& stretch : stretches_of(schedule)) {
        const Phase& phase = schedule.phases[schedule.segments[stretch.begin].phase];
        double lines = std::ceil(static_cast<double>(phase.about.size()) / letters_of_line);
        for (std::size_t i = stretch.begin; i < stretch.end; ++i) {
            for (const std::string& note : schedule.segments[i].notes) {
                lines += std::ceil(static_cast<double>(note.size()) / letters_of_line);
            }
        }
        phases_mm += phase_mm + line_mm * lines;
    }
    constexpr double page_mm = 98, rule_mm = 5.2; // of Letter, without phases
    const double room_mm =
        page_mm - phases_mm / 2 * 1.1 -
        9 * static_cast<double>(std::max<std::size_t>(document.load.size(), 1) - 1);
    return static_cast<std::size_t>(std::max(3.0, room_mm / rule_mm));
}

// All that are not simply kept, then those that are, each once, the ones with figures first.
std::vector<const Check*> rules_to_tell(const FiringDocument& document) {
    std::vector<const Check*> told;
    for (const Check& check : document.checks) {
        const bool again = check.result == CheckResult::holds &&
                           std::any_of(told.begin(), told.end(), [&](const Check* before) {
                               return before->rule == check.rule && before->title == check.title;
                           });
        if (check.result != CheckResult::not_applicable && !again) {
            told.push_back(&check);
        }
    }
    const auto rank = [](const Check& check) {
        return check.result != CheckResult::holds ? 0 : check.sense != Check::Sense::other ? 1 : 2;
    };
    std::stable_sort(told.begin(), told.end(),
                     [&](const Check* a, const Check* b) { return rank(*a) < rank(*b); });
    std::size_t others = 0;
    while (others < told.size() && rank(*told[others]) == 0) {
        ++others;
    }
    told.resize(std::min(told.size(), std::max(others, room_for_rules(document))));
    return told;
}

void put_rules(std::string& html, const FiringDocument& document, Scale scale) {
    const std::vector<const Check*> told = rules_to_tell(document);
    if (told.empty()) {
        return;
    }
    put(html,
        "<section class=\"rules\">\n<h2>Rules that it was checked against</h2>\n<p "
        "class=\"quiet\">Of all rules, {}.</p>\n<ul>\n",
        counts(document.checks));
    for (const Check* check : told) {
        put_rule(html, *check, scale);
    }
    html += "</ul>\n</section>\n";
}

} // namespace

void append_class_card(std::string& html, const FiringDocument& document,
                       const OutputOptions& options) {
    const Schedule& schedule = *document.schedule;
    const Times times(schedule, options);
    const std::string title = fmt::format("For the class: {}", title_of(document));
    open_page(html, {.title = title, .body_class = "class", .style = style_sheet("card")});
    html += "<div class=\"head\">\n<div>\n";
    put_title(html, "For the class", document);
    put_facts(html, document, options);
    html += "</div>\n";
    put_key_figures(html, document, options);
    html += "</div>\n";
    if (!document.about.empty()) {
        html += "<p class=\"lead\" dir=\"auto\">";
        append_escaped(html, document.about);
        html += "</p>\n";
    }
    put_curve(html, document, options, 200);
    html += "<div class=\"columns\">\n";
    for (const Stretch& stretch : stretches_of(schedule)) {
        put_phase(html, schedule, stretch, options.scale);
    }
    put_cones(html, document, times, options.scale);
    html += "</div>\n";
    put_rules(html, document, options.scale);
    put_cautions(html, document);
    put_origin(html, document);
    close_page(html);
}

} // namespace fettle
