#include "compiler/output/judgement.h"

#include "compiler/output/curve_svg.h"
#include "compiler/output/html_page.h"
#include "compiler/output/judgement_words.h"
#include "compiler/output/log_words.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace fettle {
namespace {

void put(std::string& html, std::string_view tag, std::string_view text) {
    html += fmt::format("<{}>{}</{}>\n", tag, html_text(text),
                        tag.substr(0, std::min(tag.find(' '), tag.size())));
}

void put_list(std::string& html, const std::vector<std::string>& lines) {
    if (lines.empty())
        return;
    html += "<ul>\n";
    for (const std::string& line : lines)
        put(html, "li", line);
    html += "</ul>\n";
}

// Line by line, since escaping makes a line end a space.
std::string escaped_lines(std::string_view text) {
    std::string html;
    while (!text.empty()) {
        const std::size_t end = std::min(text.find('\n'), text.size());
        html += escaped(text.substr(0, end)) + '\n';
        text.remove_prefix(std::min(end + 1, text.size()));
    }
    return html;
}

// A point for every pixel is enough.
std::vector<CurvePoint> points_of(const Judgement& judgement) {
    constexpr std::size_t most = 1000;
    const LogCurve& curve = judgement.curve;
    const std::size_t step = std::max<std::size_t>(1, curve.time_s.size() / most);
    std::vector<CurvePoint> points;
    for (std::size_t i = 0; i < curve.time_s.size(); i += step) {
        const double time = curve.time_s[i] - judgement.alignment.start_s;
        if (time >= 0)
            points.push_back({time, curve.celsius[i]});
    }
    return points;
}

void put_figures(std::string& html, const JudgedFiring& judged, Scale scale) {
    const Alignment& alignment = judged.judgement.alignment;
    const double heating = alignment.peak_s - alignment.start_s;
    html += "<dl class=\"figures\">\n";
    const auto figure = [&](std::string_view what, const std::string& value) {
        html +=
            fmt::format("<div><dt>{}</dt><dd>{}</dd></div>\n", html_text(what), html_text(value));
    };
    figure("As specified", judged.judgement.overall == Verdict::pass   ? "yes"
                           : judged.judgement.overall == Verdict::fail ? "no"
                                                                       : "can't be told");
    figure("Peak", print_temperature(alignment.peak_c, scale));
    figure("Start to peak", print_duration(std::round(heating / 60) * 60));
    figure("Heat work by the sensor", cone_words(judged.judgement.heat, *judged.scale));
    html += "</dl>\n";
}

void put_curve(std::string& html, const JudgedFiring& judged, Scale scale) {
    CurveSvgOptions options;
    options.scale = scale;
    options.title = "The firing as asked, and as it was logged";
    options.overlays.push_back(
        {.label = "logged", .style = OverlayStyle::logged, .points = points_of(judged.judgement)});
    append_curve_svg(html, *judged.document->schedule, options);
}

void put_acceptance(std::string& html, const JudgedFiring& judged, Scale scale) {
    put(html, "h2", "Was it the firing we asked for?");
    put(html, "p", overall_line(judged));
    if (judged.judgement.acceptance.empty())
        return;
    html += "<table><thead><tr><th>Verdict</th><th>What was asked, and what was "
            "found</th></tr></thead><tbody>\n";
    for (const AcceptanceVerdict& verdict : judged.judgement.acceptance)
        html +=
            fmt::format("<tr><th>{}</th><td>{}</td></tr>\n", html_text(to_word(verdict.verdict)),
                        html_text(verdict_line(judged, verdict, scale)));
    html += "</tbody></table>\n";
}

void put_phases(std::string& html, const JudgedFiring& judged, Scale scale) {
    const Schedule& schedule = *judged.document->schedule;
    const auto time = [](std::optional<double> seconds) {
        return seconds ? print_duration(std::round(*seconds / 60) * 60) : std::string("-");
    };
    put(html, "h2", "Phase by phase");
    html += "<table><thead><tr><th>Phase</th><th class=\"n\">Asked</th><th class=\"n\">Real</th>"
            "<th class=\"n\">Hottest</th><th>Heat work at its end</th></tr></thead><tbody>\n";
    for (const PhaseJudgement& phase : judged.judgement.phases) {
        const bool there = phase.end != PieceEnd::not_begun && phase.to_s > phase.from_s;
        html += fmt::format(
            "<tr><th>{}</th><td class=\"n\">{}</td><td class=\"n\">{}</td><td "
            "class=\"n\">{}</td><td>{}</td></tr>\n",
            html_text(schedule.phases[phase.phase].name), time(phase.asked_s),
            there ? time(phase.to_s - phase.from_s) : "-",
            there ? print_temperature(phase.highest_c, scale) : "-",
            html_text(there ? cone_words(phase.heat, *judged.scale) : "not in the log"));
    }
    html += "</tbody></table>\n";
}

void put_inquests(std::string& html, const JudgedFiring& judged) {
    for (const Inquest& inquest : judged.inquests) {
        put(html, "h2", "What may be behind it: " + inquest.defect);
        put(html, "p class=\"quiet\"", inquest_caution);
        for (const Cause& cause : inquest.causes) {
            put(html, "h3", fmt::format("{} ({})", cause.cause, likelihood(cause)));
            put_list(html, evidence_lines(cause));
            put(html, "p", fmt::format("Next time: {}", cause.remedy));
        }
    }
}

} // namespace

std::string judgement_card(const JudgedFiring& judged, Scale scale) {
    const FiringDocument& document = *judged.document;
    const std::string_view title = document.title.empty() ? document.name : document.title;
    std::string html;
    open_page(html, {.title = title, .body_class = "judgement"});
    html += fmt::format("<p class=\"mark\"><span>Judged by its log</span><span "
                        "class=\"name\">{}</span></p>\n",
                        html_text(document.name));
    put(html, "h1", title);
    put(html, "p class=\"lead\"",
        fmt::format("{}{}", judged.log_name,
                    judged.reading->first_date_s
                        ? ", from " + printed_date(*judged.reading->first_date_s)
                        : ""));
    put_figures(html, judged, scale);
    put_curve(html, judged, scale);
    put_acceptance(html, judged, scale);
    put_phases(html, judged, scale);
    std::vector<std::string> shelves;
    for (const ShelfHeat& shelf : judged.judgement.shelves)
        shelves.push_back(shelf_line(judged, shelf, scale));
    if (!shelves.empty()) {
        put(html, "h2", "By the cones");
        put_list(html, shelves);
    }
    if (const auto lines = next_time_lines(judged, scale); !lines.empty()) {
        put(html, "h2", "Next time");
        put_list(html, lines);
        if (!judged.edit_difference.empty())
            html += "<pre>" + escaped_lines(judged.edit_difference) + "</pre>\n";
    }
    put_inquests(html, judged);
    put(html, "h2", "The log");
    std::vector<std::string> lines = whole_lines(judged, scale);
    for (const LogAssumption& assumption : judged.reading->assumptions)
        lines.push_back("Taken: " + describe(assumption, *judged.reading));
    for (const LogProblem& problem : judged.reading->problems)
        lines.push_back(describe(problem, *judged.reading));
    put_list(html, lines);
    close_page(html);
    return html;
}

} // namespace fettle
