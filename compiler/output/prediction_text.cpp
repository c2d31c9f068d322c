#include "compiler/output/prediction_text.h"

#include "compiler/output/columns.h"
#include "compiler/output/page.h"
#include "compiler/output/phrases.h"
#include "compiler/source/characters.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace fettle {
namespace {

constexpr std::size_t label_width = 14;

void put_labelled(Page& page, std::string_view label, std::string_view text) {
    if (!text.empty())
        page.paragraph(2, left_in(label, label_width), text);
}
void put_pairs(Page& page, std::string_view heading,
               const std::vector<PredictionWords::Pair>& pairs) {
    if (pairs.empty())
        return;
    page.blank();
    page.line(heading, Ink::strong);
    for (const auto& [label, text] : pairs)
        put_labelled(page, label, text);
}

void put_phases(Page& page, const PredictionWords& words) {
    const std::vector<PredictionWords::PhaseRow> rows = words.phases();
    page.blank();
    page.line("Asked and expected, by phase", Ink::strong);
    std::size_t name_width = 5;
    for (const auto& row : rows)
        name_width = std::max(name_width, display_width(one_line(row.name)));
    name_width = std::min(name_width, page.width() > 70 ? page.width() - 56 : std::size_t{14});
    const auto put = [&](const PredictionWords::PhaseRow& row) {
        const std::string name = shortened(one_line(row.name), name_width, page.ascii());
        page.line(fmt::format("  {} {} {}  {} {} {}", left_in(name, name_width),
                              right_in(row.asked, 9), right_in(row.takes, 9), left_in(row.lag, 14),
                              right_in(row.ends, 7), right_in(row.energy, 8)));
    };
    put({"phase", "asked", "takes", "furthest off", "ends at", "energy"});
    for (const auto& row : rows)
        put(row);
}

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
    page.blank();
    page.line("The curve to expect", Ink::strong);
    for (const std::string& line : plot_curve(drawn, plot))
        page.line(line);
}

void put_findings(Page& page, const PredictionWords& words, bool plain_sailing) {
    page.blank();
    page.line("What the kiln can't follow", Ink::strong);
    const std::vector<std::string> findings = words.findings();
    for (const std::string& text : findings) {
        const bool first = &text == &findings.front();
        page.paragraph(2, plain_sailing ? "" : "- ", text,
                       plain_sailing                  ? Ink::plain
                       : first && words.falls_short() ? Ink::error
                                                      : Ink::caution);
    }
}

} // namespace

std::string prediction_text(const FiringDocument& document, const FiringPrediction& prediction,
                            const std::optional<EnergyPrice>& price, const ShowOptions& options) {
    const Schedule& schedule = *document.schedule;
    const OutputOptions output{.scale = options.scale, .start_clock_s = options.start_clock_s};
    const PredictionWords words(document, prediction, price, output);
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
    put_phases(page, words);
    put_curve(page, schedule, prediction, options);
    put_pairs(page, "What to expect", words.expected());
    put_findings(page, words, !words.falls_short() && prediction.cannot_follow.empty());
    put_pairs(page, "Heat", words.heat());
    put_pairs(page, "Were it fired many times", words.many());
    if (const auto opening = words.opening(); !opening.empty()) {
        put_pairs(page, "Shut and left alone, it may be opened", opening);
        page.paragraph(2, "", opening_caution);
    }
    page.blank();
    page.paragraph(0, "", prediction_caution);
    return std::move(page).take();
}

} // namespace fettle
