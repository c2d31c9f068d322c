#include "compiler/output/prediction_files.h"

#include "compiler/output/firing_curve.h"
#include "compiler/output/html_page.h"
#include "compiler/output/words.h"
#include "compiler/source/json_writer.h"

#include <fmt/format.h>

#include <array>
#include <cmath>
#include <iterator>

namespace fettle {
namespace {

constexpr double j_per_kwh = 3.6e6;

// --- JSON
// -----------------------------------------------------------------------------------------

constexpr std::string_view end_words[] = {"done", "never_reaches", "never_cools", "bad_model"};
constexpr std::string_view why_words[] = {"too_little_power", "cools_slower", "sluggish"};

class Writing {
  public:
    Writing(JsonWriter& json, const FiringDocument& document, const FiringPrediction& prediction)
        : json_(json), document_(document), schedule_(*document.schedule), all_(prediction),
          p_(prediction.prediction) {}

    void run(const std::optional<EnergyPrice>& price) {
        json_.object();
        json_.field("format", "fettle.prediction");
        json_.field("format_version", 1);
        json_.field("compiler", document_.compiler_version);
        json_.field("firing", document_.name);
        json_.field("kiln", document_.kiln.name);
        json_.key("assumed");
        json_.line_array();
        for (const std::string& text : all_.assumed)
            json_.text(text);
        json_.end_array();
        json_.field("end", end_words[static_cast<std::size_t>(p_.end)]);
        totals(price);
        phases();
        shelves();
        unfollowed();
        heat();
        opening();
        if (!all_.many.runs.empty())
            many(price);
        curve();
        json_.end_object();
    }

  private:
    void totals(const std::optional<EnergyPrice>& price) {
        json_.field("duration_s", p_.duration_s, 0);
        json_.field("peak_c", p_.peak_c, 1);
        json_.field("peak_read_c", p_.peak_read_c, 1);
        json_.field("ware_peak_c", p_.ware_peak_c, 1);
        json_.field("energy_kwh", p_.supplied_j / j_per_kwh, 2);
        if (!price)
            return;
        json_.key("cost");
        json_.line_object();
        json_.field("tariff", price->tariff);
        json_.field("currency", price->currency);
        json_.field("least", p_.supplied_j / j_per_kwh * price->lowest_per_kwh, 2);
        json_.field("most", p_.supplied_j / j_per_kwh * price->highest_per_kwh, 2);
        json_.end_object();
    }

    void phases() {
        json_.key("phases");
        json_.array();
        for (const PhasePrediction& phase : all_.phases) {
            json_.line_object();
            json_.field("phase", schedule_.phases[phase.phase].name);
            json_.field("asked_s", phase.asked_s, 0);
            json_.field("begin_s", phase.begin_s, 0);
            json_.field("end_s", phase.end_s, 0);
            json_.field("behind_k", phase.behind_k, 1);
            json_.field("ahead_k", phase.ahead_k, 1);
            json_.field("end_c", phase.end_c, 1);
            json_.field("waited_s", phase.waited_s, 0);
            json_.field("full_power_s", phase.full_power_s, 0);
            json_.field("energy_kwh", phase.supplied_j / j_per_kwh, 2);
            json_.end_object();
        }
        json_.end_array();
    }

    void shelves() {
        json_.key("cones");
        json_.array();
        for (const ShelfPrediction& shelf : all_.shelves) {
            json_.line_object();
            json_.field("shelf", shelf.name);
            json_.field("difference_k", shelf.difference_k, 1);
            const auto word = [&](std::string_view cone) {
                cone.empty() ? json_.null() : json_.text(cone);
            };
            json_.key("cone");
            word(shelf.reached.cone);
            json_.key("next_cone");
            word(shelf.reached.next_cone);
            json_.field("fraction_to_next", shelf.reached.fraction_to_next, 3);
            json_.end_object();
        }
        json_.end_array();
    }

    void unfollowed() {
        json_.key("cannot_follow");
        json_.array();
        for (const CannotFollow& item : all_.cannot_follow) {
            json_.line_object();
            json_.field("segment", item.segment);
            json_.field("why", why_words[static_cast<std::size_t>(item.why)]);
            json_.field("from_c", item.from_c, 0);
            json_.field("asked_c_per_h", item.asked_k_per_h, 0);
            json_.field("made_c_per_h", item.made_k_per_h, 0);
            json_.field("off_at_end_k", item.at_end_k, 1);
            json_.end_object();
        }
        json_.end_array();
    }

    void heat() {
        const HeatBalance& b = p_.balance;
        json_.key("heat_kwh");
        json_.line_object();
        json_.field("supplied", b.supplied_j / j_per_kwh, 3);
        json_.field("ware", b.ware_j / j_per_kwh, 3);
        json_.field("furniture", b.chamber_j / j_per_kwh, 3);
        json_.field("lining", b.lining_j / j_per_kwh, 3);
        json_.field("changes", b.changes_j / j_per_kwh, 3);
        json_.field("lost", b.lost_j / j_per_kwh, 3);
        json_.end_object();
    }

    void opening() {
        json_.key("opening");
        json_.array();
        for (const OpeningStep& step : opening_steps()) {
            json_.line_object();
            json_.field("at_c", step.at_c, 0);
            json_.field("after_s", p_.cooled_to_s(step.at_c), 0);
            json_.field("what", step.what);
            json_.end_object();
        }
        json_.end_array();
    }

    void range(JsonKey name, double OneRun::*value, double factor, int decimals) {
        json_.key(name);
        json_.line_array();
        for (double share : {0.05, 0.5, 0.95})
            json_.number(all_.many.quantile(value, share) * factor, decimals);
        json_.end_array();
    }
    void many(const std::optional<EnergyPrice>& price) {
        json_.key("runs");
        json_.object();
        json_.field("count", all_.many.runs.size());
        json_.field("seed", all_.seed);
        json_.field("never_done", all_.many.stopped());
        range("peak_c", &OneRun::peak_c, 1, 1);
        range("duration_s", &OneRun::duration_s, 1, 0);
        range("cone", &OneRun::cone, 1, 2);
        range("energy_kwh", &OneRun::supplied_j, 1 / j_per_kwh, 2);
        if (price)
            range("cost_at_most", &OneRun::supplied_j, price->highest_per_kwh / j_per_kwh, 2);
        json_.end_object();
    }

    void curve() {
        json_.key("curve");
        json_.array();
        for (const PredictedPoint& point : p_.curve) {
            json_.line_object();
            json_.field("time_s", point.time_s, 1);
            json_.field("asked_c", point.asked_c, 2);
            json_.field("kiln_c", point.kiln_c, 2);
            json_.field("read_c", point.read_c, 2);
            json_.field("ware_c", point.ware_c, 2);
            json_.field("power", point.power_share, 3);
            json_.end_object();
        }
        json_.end_array();
    }

    JsonWriter& json_;
    const FiringDocument& document_;
    const Schedule& schedule_;
    const FiringPrediction& all_;
    const Prediction& p_;
};

// --- curves
// ---------------------------------------------------------------------------------------

// The schedule with the predicted time where it leaves it to the kiln, so that both curves lie on
// one axis.
Schedule timed(const Schedule& schedule, const Prediction& prediction) {
    Schedule timed = schedule;
    for (std::size_t i = 0; i < prediction.segments.size(); ++i) {
        Segment& segment = timed.segments[i];
        const SegmentPrediction& made = prediction.segments[i];
        if (segment.duration_s || !(made.end_s > made.begin_s))
            continue;
        segment.estimated_duration_s = made.end_s - made.begin_s;
        segment.estimated_course.clear();
    }
    return timed;
}

CurveSvgOptions svg_options(const FiringDocument& document, const FiringPrediction& prediction,
                            const OutputOptions& options) {
    CurveSvgOptions curve = curve_options(document, options);
    CurveOverlay& overlay = curve.overlays.emplace_back();
    overlay.label = "as the model of the kiln expects it";
    overlay.style = OverlayStyle::predicted;
    for (const PredictedPoint& point : prediction.prediction.curve) {
        if (point.time_s <= prediction.prediction.duration_s)
            overlay.points.push_back({point.time_s, point.kiln_c});
    }
    return curve;
}

// --- the page
// -------------------------------------------------------------------------------------

class PredictionPage {
  public:
    PredictionPage(const FiringDocument& document, const FiringPrediction& prediction,
                   const OutputOptions& options)
        : document_(document), all_(prediction), options_(options) {}

    std::string run(const std::optional<EnergyPrice>& price) {
        const std::string_view title = document_.title.empty() ? document_.name : document_.title;
        open_page(html_, {.title = title, .body_class = "prediction", .style = {}});
        put("<p class=\"mark\"><span>What to expect</span><span class=\"name\">{}</span></p>\n"
            "<h1>{}</h1>\n",
            escaped(document_.name), html_text(title));
        const PredictionWords words(document_, all_, price, options_);
        html_ += "<dl class=\"figures\">\n";
        for (const auto& [label, value] : words.figures())
            put("<div><dt>{}</dt><dd>{}</dd></div>\n", escaped(label), escaped(value));
        html_ += "</dl>\n<figure>\n";
        append_curve_svg(html_, timed(*document_.schedule, all_.prediction),
                         svg_options(document_, all_, options_));
        html_ += "</figure>\n";
        phases(words);
        list("What the kiln can't follow", words.findings());
        pairs("Heat", words.heat());
        pairs("Shut and left alone, it may be opened", words.opening());
        pairs("Were it fired many times", words.many());
        list("Taken for granted", all_.assumed);
        put("<p class=\"quiet\">{}</p>\n", escaped(prediction_caution));
        close_page(html_);
        return std::move(html_);
    }

  private:
    template <class... Parts> void put(fmt::format_string<Parts...> format, Parts&&... parts) {
        fmt::format_to(std::back_inserter(html_), format, std::forward<Parts>(parts)...);
    }
    void phases(const PredictionWords& words) {
        html_ += "<h2>Asked and expected</h2>\n<table>\n<thead><tr><th>Phase</th>"
                 "<th class=\"n\">asked</th><th class=\"n\">takes</th><th>furthest off</th>"
                 "<th class=\"n\">ends at</th><th class=\"n\">energy</th></tr></thead>\n<tbody>\n";
        for (const PredictionWords::PhaseRow& row : words.phases()) {
            put("<tr><td>{}</td><td class=\"n\">{}</td><td class=\"n\">{}</td><td>{}</td>"
                "<td class=\"n\">{}</td><td class=\"n\">{}</td></tr>\n",
                html_text(row.name), escaped(row.asked), escaped(row.takes), escaped(row.lag),
                escaped(row.ends), escaped(row.energy));
        }
        html_ += "</tbody>\n</table>\n";
    }
    void list(std::string_view heading, const std::vector<std::string>& texts) {
        if (texts.empty())
            return;
        put("<h2>{}</h2>\n<ul>\n", escaped(heading));
        for (const std::string& text : texts)
            put("<li>{}</li>\n", html_text(text));
        html_ += "</ul>\n";
    }
    void pairs(std::string_view heading, const std::vector<PredictionWords::Pair>& rows) {
        if (rows.empty())
            return;
        put("<h2>{}</h2>\n<table class=\"said\">\n<tbody>\n", escaped(heading));
        for (const auto& [label, value] : rows)
            put("<tr><td>{}</td><td>{}</td></tr>\n", escaped(label), html_text(value));
        html_ += "</tbody>\n</table>\n";
    }

    const FiringDocument& document_;
    const FiringPrediction& all_;
    const OutputOptions& options_;
    std::string html_;
};

} // namespace

void append_prediction_json(std::string& text, const FiringDocument& document,
                            const FiringPrediction& prediction,
                            const std::optional<EnergyPrice>& price) {
    JsonWriter json(text, JsonLayout::indented);
    Writing(json, document, prediction).run(price);
    json.finish();
    text += '\n';
}

std::string prediction_svg(const FiringDocument& document, const FiringPrediction& prediction,
                           const OutputOptions& options) {
    return curve_svg_file(timed(*document.schedule, prediction.prediction),
                          svg_options(document, prediction, options));
}

std::string prediction_page(const FiringDocument& document, const FiringPrediction& prediction,
                            const std::optional<EnergyPrice>& price, const OutputOptions& options) {
    return PredictionPage(document, prediction, options).run(price);
}

} // namespace fettle
