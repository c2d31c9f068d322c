#include "compiler/output/show.h"

#include "compiler/output/cautions.h"
#include "compiler/output/controller_table.h"
#include "compiler/output/page.h"
#include "compiler/output/phrases.h"
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

// --- the head -----------------------------------------------------------------------------------

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

void put_totals(Page& page, const FiringDocument& document, const ShowOptions& options) {
    if (document.schedule->segments.empty()) {
        return;
    }
    put_heading(page, "In all");
    put_labelled(page, "time", duration_line(*document.schedule));
    put_labelled(page, "ends", end_line(*document.schedule, options.start_clock_s));
    put_labelled(page, "peak", peak_line(*document.schedule, options.scale));
    put_labelled(page, "heat work", heat_work_line(document.heat_work));
}

// --- acceptance ---------------------------------------------------------------------------------

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
    put_controller_table(page, document, options);
    put_curve(page, document, options);
    put_rules(page, document, options);
    put_acceptance(page, document, options);
    put_cautions(page, document);
    return std::move(page).take();
}

} // namespace fettle
