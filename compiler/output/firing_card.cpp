#include "compiler/output/firing_card.h"

#include "compiler/output/cautions.h"
#include "compiler/output/html_page.h"
#include "compiler/output/interruption_words.h"
#include "compiler/output/phrases.h"
#include "compiler/output/sheet_parts.h"
#include "compiler/output/words.h"

#include <algorithm>
#include <cmath>

namespace fettle {

namespace {

// --- the table ----------------------------------------------------------------------------------

constexpr std::string_view table_head =
    "<thead><tr><th class=\"n\">step</th><th>what</th><th class=\"n\">to</th>"
    "<th class=\"n\">rate</th><th class=\"n\">time</th><th class=\"n\">starts</th>"
    "<th class=\"paper write\">read</th><th class=\"paper write\">at</th></tr></thead>\n";

void put_phase(std::string& html, const Phase& phase) {
    html += "<tr class=\"phase\"><th colspan=\"8\" scope=\"rowgroup\" dir=\"auto\">";
    append_escaped(html, readable_name(phase.name));
    if (!phase.title.empty()) {
        html += " <span>";
        append_text(html, phase.title);
        html += "</span>";
    }
    html += "</th></tr>\n";
}

class StepRows {
  public:
    StepRows(std::string& html, const Schedule& schedule, const Times& times, Scale scale)
        : html_(html), schedule_(schedule), times_(times), scale_(scale) {}

    void put_step(std::size_t index) {
        const Segment& segment = schedule_.segments[index];
        const bool as_asked = segment.kind == SegmentKind::soak && segment.to_cone.empty();
        put(html_,
            "<tr><td class=\"n\">{}</td><td>{}</td><td class=\"n\">{}<b>{}</b></td>"
            "<td class=\"n\">{}</td><td class=\"n\">{}</td><td class=\"n\">{}{}</td>"
            "<td class=\"paper write\"></td><td class=\"paper write\"></td></tr>\n",
            index + 1, what_it_does(segment),
            segment.to_cone.empty()
                ? std::string()
                : fmt::format("<small>cone {}</small> ", escaped(segment.to_cone)),
            print_temperature(segment.to_c, scale_), printed_rate(segment, scale_),
            as_asked && segment.duration_s
                ? print_duration(*segment.duration_s)
                : printed_time(segment.duration_s, segment.estimated_duration_s),
            new_day(index), times_.start_of(index));
        put_jobs(index);
    }

  private:
    std::string new_day(std::size_t index) {
        const auto day = times_.day_of(times_.start_s(index));
        if (!day || day == day_) {
            return {};
        }
        day_ = day;
        return fmt::format("<small>day {}</small> ", *day);
    }

    // When it is, or where that is not known, how hot it is then.
    std::string moment(std::size_t segment) const {
        const double then_c =
            segment == 0 ? schedule_.start_c : schedule_.segments[segment - 1].to_c;
        return times_.start_s(segment) ? times_.start_of(segment)
                                       : "at " + print_temperature(then_c, scale_);
    }

    void put_job(std::string_view when, std::string_view text) {
        put(html_, "<span class=\"job\"><span class=\"box\"></span><b>{}</b> <span dir=\"auto\">",
            when);
        append_escaped(html_, text);
        html_ += "</span></span>";
    }

    // What has to be done by hand when a step begins, or after the last.
    void put_jobs(std::size_t index) {
        const Segment& segment = schedule_.segments[index];
        static const KilnState nothing_set;
        const KilnState& before =
            index == 0 ? nothing_set : schedule_.states[schedule_.segments[index - 1].state];
        std::vector<std::string> settings;
        add_changes(settings, before, schedule_.states[segment.state]);
        if (settings.empty() && segment.jobs.empty() && !segment.waiting_within_k) {
            return;
        }
        html_ += "<tr class=\"jobs\"><td></td><td colspan=\"7\">";
        if (segment.waiting_within_k) {
            put(html_, "<span class=\"quiet\">its clock waits until the kiln is within {}</span>",
                printed_step(*segment.waiting_within_k, scale_));
        }
        if (!settings.empty()) {
            put_job(moment(index), joined(settings));
        }
        constexpr std::string_view at_the_end = "At the end: ";
        for (std::string_view job : segment.jobs) {
            const bool last = job.starts_with(at_the_end);
            put_job(moment(last ? index + 1 : index), job.substr(last ? at_the_end.size() : 0));
        }
        html_ += "</td></tr>\n";
    }

    std::string& html_;
    const Schedule& schedule_;
    const Times& times_;
    Scale scale_;
    std::optional<long long> day_ = 1; // of the row before
};

void put_table(std::string& html, const FiringDocument& document, const OutputOptions& options) {
    const Schedule& schedule = *document.schedule;
    if (schedule.segments.empty()) {
        html += "<p>This firing has no steps.</p>\n";
        return;
    }
    const Times times(schedule, options);
    StepRows rows(html, schedule, times, options.scale);
    html += "<section>\n<h2>Step by step</h2>\n<table class=\"steps\">\n";
    html += table_head;
    for (std::size_t i = 0; i < schedule.segments.size(); ++i) {
        if (i == 0 || schedule.segments[i].phase != schedule.segments[i - 1].phase) {
            html += i == 0 ? "<tbody>\n" : "</tbody>\n<tbody>\n";
            put_phase(html, schedule.phases[schedule.segments[i].phase]);
        }
        rows.put_step(i);
    }
    html += "</tbody>\n</table>\n</section>\n";
}

// --- rules --------------------------------------------------------------------------------------

void put_rules(std::string& html, const FiringDocument& document, Scale scale) {
    if (document.checks.empty()) {
        return;
    }
    put(html, "<section>\n<h2>Rules</h2>\n<p>{}.</p>\n", counts(document.checks));
    std::string list;
    for (const Check& check : document.checks) {
        const bool waived = check.result == CheckResult::waived;
        if (!waived && check.result != CheckResult::broken) {
            continue;
        }
        list += "<li>";
        append_text(list, fmt::format("{}: {}", waived ? "Waived" : "Not kept",
                                      check.title.empty() ? check.rule : check.title));
        const std::string found = found_line(check, scale);
        if (!found.empty()) {
            append_text(list, fmt::format(" ({})", found));
        }
        if (waived) {
            list += ", because ";
            append_text(list, check.waiver);
        }
        list += ".</li>\n";
    }
    if (!list.empty()) {
        put(html, "<ul>\n{}</ul>\n", list);
    }
    html += "</section>\n";
}

// --- the page -----------------------------------------------------------------------------------

// How much there is to say, in millimetres of paper for each of the two columns. What these figures
// get wrong, tests/output/check_pages.py finds.
struct Fill {
    double steps_mm = 10, beside_mm = 33, near_top_mm = 0;
    double across_mm = 0; // more than is usual above and below them

    // In the column where it makes the page shorter.
    bool near_top_below_steps() const { return steps_mm < beside_mm; }
    double longer_mm() const {
        const double steps = steps_mm + (near_top_below_steps() ? near_top_mm : 0);
        const double beside = beside_mm + (near_top_below_steps() ? 0 : near_top_mm);
        return std::max(steps, beside) + across_mm;
    }
};

constexpr double letters_of_job = 62; // on a line

Fill fill_of(const FiringDocument& document) {
    Fill fill;
    const Schedule& schedule = *document.schedule;
    const Segment* before = nullptr;
    for (const Segment& segment : schedule.segments) {
        fill.steps_mm += 4.6;
        fill.steps_mm += before == nullptr || before->phase != segment.phase ? 5.6 : 0;
        fill.steps_mm += before == nullptr || before->state != segment.state ? 3.6 : 0;
        for (const std::string& job : segment.jobs) {
            fill.steps_mm += 3.6 * std::ceil(static_cast<double>(job.size()) / letters_of_job);
        }
        before = &segment;
    }
    fill.beside_mm += 9.5 * static_cast<double>(document.confirms.size());
    if (!document.accept.empty()) {
        fill.beside_mm += 8 + 5.0 * static_cast<double>(document.accept.size());
    }
    for (const Check& check : document.checks) {
        const bool told =
            check.result == CheckResult::broken || check.result == CheckResult::waived;
        fill.beside_mm += told ? 10 : 0;
    }
    fill.beside_mm += document.interruptions.empty() ? 0 : 18;
    for (const Interruption& at : document.interruptions) {
        fill.beside_mm += 7;
        fill.near_top_mm += 4.3 * static_cast<double>(at.left.size());
    }
    fill.near_top_mm += fill.near_top_mm > 0 ? 18 : 0;
    constexpr std::size_t usual_cautions = 6; // in three columns, of two lines or so
    fill.across_mm = 7.0 * static_cast<double>(std::max<std::size_t>(document.load.size(), 1) - 1) +
                     3.0 * static_cast<double>(cautions(document).size() - usual_cautions);
    return fill;
}

// The page is set the smaller, the more there is to say. The last kind goes on to another page.
struct Setting {
    double up_to_mm;
    std::string_view body_class;
    double curve_height; // of curve_svg.h
};
constexpr Setting settings[] = {
    {118, "card", 205},
    {146, "card dense", 188},
    {177, "card tight", 155},
    {1e9, "card many", 205},
};

const Setting& setting_for(const Fill& fill) {
    return *std::find_if(std::begin(settings), std::end(settings) - 1, [&](const Setting& setting) {
        return fill.longer_mm() <= setting.up_to_mm;
    });
}

} // namespace

void append_firing_card(std::string& html, const FiringDocument& document,
                        const OutputOptions& options) {
    const Times times(*document.schedule, options);
    const std::string title = fmt::format("Firing card: {}", title_of(document));
    const Fill fill = fill_of(document);
    const Setting& setting = setting_for(fill);
    open_page(html,
              {.title = title, .body_class = setting.body_class, .style = style_sheet("card")});
    html += "<div class=\"head\">\n<div>\n";
    put_title(html, "Firing card", document);
    put_facts(html, document, options);
    html += "</div>\n";
    put_key_figures(html, document, options);
    html += "</div>\n";
    put_curve(html, document, options, setting.curve_height);
    html += "<div class=\"split\">\n<div>\n";
    put_table(html, document, options);
    if (fill.near_top_below_steps()) {
        put_heat_work_left(html, document, times, options.scale);
    }
    html += "</div>\n<div>\n";
    put_confirmations(html, document);
    put_cones(html, document, times, options.scale);
    put_acceptance(html, document, options.scale);
    put_rules(html, document, options.scale);
    put_interruptions(html, document, options.scale);
    if (!fill.near_top_below_steps()) {
        put_heat_work_left(html, document, times, options.scale);
    }
    html += "</div>\n</div>\n";
    put_cautions(html, document);
    html += "<p class=\"fired paper\">Fired on <span class=\"sign\"></span> by "
            "<span class=\"sign\"></span> Meter before <span class=\"sign\"></span> after "
            "<span class=\"sign\"></span></p>\n";
    put_origin(html, document);
    close_page(html);
}

} // namespace fettle
