#include "compiler/output/writing_sheet.h"

#include "compiler/output/firing_curve.h"
#include "compiler/output/html_page.h"
#include "compiler/output/phrases.h"
#include "compiler/output/sheet_parts.h"
#include "runtime/schedule/curve.h"

#include <algorithm>
#include <cmath>

namespace fettle {

namespace {

constexpr double row_s = 600;
constexpr double longest_s = 7 * 86400.0; // rows for more would be a book
constexpr int rows_of_cooling = 12;       // to write in, where nobody knows how long it cools

// The corridor to stay in, to either side: what a kiln can be held in by hand, and less near the
// top, where cones and glazes are judged. The choice is Fettle's own, but for the top of a firing
// that says how near its peak must be.
struct Corridor {
    double peak_c, top_k;
    static constexpr double wide_k = 15;
    static constexpr double narrows_below_peak_k = 150, narrow_below_peak_k = 100;

    explicit Corridor(const FiringDocument& document)
        : peak_c(*Curve(*document.schedule).peak().value), top_k(8) {
        for (const AcceptItem& item : document.accept) {
            if (item.kind == "peak" && item.tolerance) {
                top_k = std::min(*item.tolerance, wide_k);
            }
        }
    }
    double half_k(double at_c) const {
        const double part =
            (at_c - (peak_c - narrows_below_peak_k)) / (narrows_below_peak_k - narrow_below_peak_k);
        return wide_k + (top_k - wide_k) * std::clamp(part, 0.0, 1.0);
    }
};

// What has to be set or done at a moment, or when a temperature is reached.
struct Job {
    std::optional<double> time_s;
    double then_c = 20;
    std::string text;
};

std::vector<Job> jobs_of(const Schedule& schedule, const Times& times) {
    std::vector<Job> jobs;
    static const KilnState nothing_set;
    const KilnState* before = &nothing_set;
    for (std::size_t i = 0; i < schedule.segments.size(); ++i) {
        const Segment& segment = schedule.segments[i];
        const KilnState& now = schedule.states[segment.state];
        std::vector<std::string> settings;
        add_changes(settings, *before, now);
        before = &now;
        if (!settings.empty()) {
            jobs.push_back({times.start_s(i), segment.from_c, joined(settings)});
        }
        constexpr std::string_view at_the_end = "At the end: ";
        for (std::string_view job : segment.jobs) {
            const bool last = job.starts_with(at_the_end);
            jobs.push_back({times.start_s(last ? i + 1 : i), last ? segment.to_c : segment.from_c,
                            std::string(job.substr(last ? at_the_end.size() : 0))});
        }
    }
    return jobs;
}

CurveCorridor band_of(const Schedule& schedule, const Corridor& corridor) {
    CurveCorridor band;
    band.label = "the corridor to stay in";
    const CurvePoints curve = curve_points(schedule);
    const auto add = [&](double time_s, double at_c) {
        band.upper.push_back({time_s, at_c + corridor.half_k(at_c)});
        band.lower.push_back({time_s, at_c - corridor.half_k(at_c)});
    };
    for (std::size_t i = 0; i < curve.known; ++i) {
        const auto [time_s, at_c] = curve.points[i];
        constexpr int pieces = 8; // it narrows between the bends, too
        for (int k = 1; i > 0 && k < pieces; ++k) {
            const double part = static_cast<double>(k) / pieces;
            const auto [before_s, before_c] = curve.points[i - 1];
            add(before_s + part * (time_s - before_s), before_c + part * (at_c - before_c));
        }
        add(time_s, at_c);
    }
    return band;
}

// --- the rows -----------------------------------------------------------------------------------

class Rows {
  public:
    Rows(std::string& html, const Schedule& schedule, const Times& times, const Corridor& corridor,
         Scale scale)
        : html_(html), schedule_(schedule), times_(times), corridor_(corridor), scale_(scale),
          curve_(schedule, Estimates::use), jobs_(jobs_of(schedule, times)) {
        known_s_ = 0;
        for (std::size_t i = 0; i <= schedule.segments.size(); ++i) {
            known_s_ = times.start_s(i).value_or(known_s_);
        }
    }

    void put() {
        html_ +=
            "<div class=\"columns rows\">\n<table>\n<thead><tr><th>time</th>"
            "<th class=\"n\">expect</th><th class=\"n\">between</th><th class=\"write\">read</th>"
            "<th class=\"write wider\">set, seen</th></tr></thead>\n<tbody>\n";
        const double end_s = std::min(known_s_, longest_s);
        auto job = jobs_.begin();
        for (double time_s = 0; time_s <= end_s + 1; time_s += row_s) {
            for (; job != jobs_.end() && job->time_s && *job->time_s <= time_s; ++job) {
                put_job(*job);
            }
            put_row(time_s);
        }
        for (; job != jobs_.end() && job->time_s; ++job) {
            put_job(*job);
        }
        put_cooling(job);
        html_ += "</tbody>\n</table>\n</div>\n";
    }

  private:
    void put_row(double time_s) {
        const double at_c = curve_.temperature_at(time_s).value_or(schedule_.start_c);
        const double half_k = corridor_.half_k(at_c);
        fmt::format_to(std::back_inserter(html_),
                       "<tr><th scope=\"row\">{}</th><td class=\"n\"><b>{}</b></td>"
                       "<td class=\"n quiet\">{}&#8202;&ndash;&#8202;{}</td>"
                       "<td class=\"write\"></td><td class=\"write\"></td></tr>\n",
                       times_.at(time_s), print_temperature(at_c, scale_),
                       print_number(to_scale(at_c - half_k, scale_), 0),
                       print_temperature(at_c + half_k, scale_));
    }

    void put_job(const Job& job) {
        html_ += "<tr class=\"jobs\"><td colspan=\"5\"><span class=\"job\"><span "
                 "class=\"box\"></span><b>";
        html_ += job.time_s ? times_.at(job.time_s) : "at " + print_temperature(job.then_c, scale_);
        html_ += "</b> <span dir=\"auto\">";
        append_escaped(html_, job.text);
        html_ += "</span></span></td></tr>\n";
    }

    // Where the times end: room to write, and what is still to be done by temperature.
    void put_cooling(std::vector<Job>::const_iterator job) {
        if (times_.start_s(schedule_.segments.size())) {
            return;
        }
        html_ += "<tr><td colspan=\"5\" class=\"quiet\">From here on the kiln takes its own time: "
                 "write down when, and what it reads.</td></tr>\n";
        for (; job != jobs_.end(); ++job) {
            put_job(*job);
        }
        for (int i = 0; i < rows_of_cooling; ++i) {
            html_ += "<tr class=\"blank\"><td></td><td></td><td></td>"
                     "<td class=\"write\"></td><td class=\"write\"></td></tr>\n";
        }
    }

    std::string& html_;
    const Schedule& schedule_;
    const Times& times_;
    const Corridor& corridor_;
    Scale scale_;
    Curve curve_;
    std::vector<Job> jobs_;
    double known_s_ = 0; // up to where the times are known or estimated
};

} // namespace

void append_writing_sheet(std::string& html, const FiringDocument& document,
                          const OutputOptions& options) {
    const Schedule& schedule = *document.schedule;
    const Times times(schedule, options);
    const std::string title = fmt::format("Writing sheet: {}", title_of(document));
    open_page(html, {.title = title, .body_class = "writing", .style = style_sheet("card")});
    html += "<div class=\"head\">\n<div>\n";
    put_title(html, "Writing sheet", document);
    put_facts(html, document, options);
    html += "</div>\n";
    put_key_figures(html, document, options);
    html += "</div>\n";
    const Corridor corridor(document);
    CurveSvgOptions curve = curve_options(document, options);
    curve.corridor = band_of(schedule, corridor);
    put_curve(html, schedule, std::move(curve), 250);
    html += "<div class=\"columns\">\n";
    put_confirmations(html, document);
    put_cones(html, document, times, options.scale);
    html += "</div>\n<section>\n<h2>Every ten minutes</h2>\n";
    put(html,
        "<p class=\"quiet\">Above the corridor: less fuel. Below it: more, but no faster than "
        "asked "
        "to catch up. It is {} to either side, and {} near the top.</p>\n",
        printed_step(Corridor::wide_k, options.scale), printed_step(corridor.top_k, options.scale));
    if (!schedule.segments.empty()) {
        Rows(html, schedule, times, corridor, options.scale).put();
    }
    html += "</section>\n";
    put_acceptance(html, document, options.scale);
    put_cautions(html, document);
    html += "<p class=\"fired paper\">Fired on <span class=\"sign\"></span> by "
            "<span class=\"sign\"></span> Weather <span class=\"sign\"></span> Fuel used "
            "<span class=\"sign\"></span></p>\n";
    put_origin(html, document);
    close_page(html);
}

} // namespace fettle
