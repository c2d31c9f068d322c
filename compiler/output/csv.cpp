#include "compiler/output/csv.h"

#include "compiler/output/csv_text.h"
#include "compiler/output/words.h"
#include "runtime/schedule/curve.h"

#include <fmt/format.h>

namespace fettle {

namespace {

std::string joined(const std::vector<std::string>& texts) {
    return fmt::format("{}", fmt::join(texts, "; "));
}

std::string settings(const KilnState& state) {
    std::string text;
    for (const ControlSetting& setting : state.settings) {
        if (!text.empty()) {
            text += "; ";
        }
        text += setting.control + " " + setting.value;
    }
    return text;
}

std::string lines(const Schedule& schedule, const Segment& segment) {
    std::string text;
    for (const Origin& origin : segment.trail) {
        if (!text.empty()) {
            text += "; ";
        }
        text += fmt::format("{}:{}", schedule.files[origin.file], origin.line);
    }
    return text;
}

// "cone 04": a bare 04 becomes 4 in a spreadsheet, some 220 degrees hotter.
std::string cone(std::string_view name) {
    return name.empty() ? "" : fmt::format("cone {}", name);
}

void put_header(CsvText& out, Scale scale) {
    const char unit = scale == Scale::celsius ? 'c' : 'f';
    out.word("segment");
    out.word("phase");
    out.word("phase_title");
    out.word("kind");
    out.word(fmt::format("from_{}", unit));
    out.word(fmt::format("target_{}", unit));
    out.word("to_cone");
    out.word(fmt::format("rate_{}_per_h", unit));
    out.word("duration_min");
    out.word("estimated_min");
    out.word("start_min");
    out.word(fmt::format("waiting_within_{}", unit));
    for (const char* name :
         {"atmosphere", "vent", "settings", "cone_reached", "notes", "jobs", "lines"}) {
        out.word(name);
    }
    out.end_row();
}

std::optional<double> minutes(std::optional<double> seconds) {
    return seconds ? std::optional(*seconds / 60) : std::nullopt;
}

std::optional<double> degrees(std::optional<double> kelvin, Scale scale) {
    return kelvin ? std::optional(difference_to_scale(*kelvin, scale)) : std::nullopt;
}

void put_segment(CsvText& out, const FiringDocument& document, std::size_t index,
                 std::optional<double> start_s, Scale scale) {
    const Schedule& schedule = *document.schedule;
    const Segment& segment = schedule.segments[index];
    const Phase& phase = schedule.phases[segment.phase];
    const KilnState& state = schedule.states[segment.state];
    out.number(static_cast<double>(index + 1));
    out.text(phase.name);
    out.text(phase.title);
    out.word(to_word(segment.kind));
    out.number(to_scale(segment.from_c, scale));
    out.number(to_scale(segment.to_c, scale));
    out.text(cone(segment.to_cone));
    out.number(degrees(segment.rate_k_per_h(), scale));
    out.number(minutes(segment.duration_s));
    out.number(segment.duration_s ? std::nullopt : minutes(segment.estimated_duration_s));
    out.number(minutes(start_s));
    out.number(degrees(segment.waiting_within_k, scale));
    out.word(to_word(state.atmosphere));
    out.word(to_word(state.vent));
    out.text(settings(state));
    out.text(index < document.cones_after.size() ? cone(document.cones_after[index]) : "");
    out.text(joined(segment.notes));
    out.text(joined(segment.jobs));
    out.text(lines(schedule, segment));
    out.end_row();
}

} // namespace

std::string csv(const FiringDocument& document, Scale scale) {
    const auto starts_s = Curve(*document.schedule).starts_s();
    CsvText out;
    put_header(out, scale);
    for (std::size_t i = 0; i < document.schedule->segments.size(); ++i) {
        put_segment(out, document, i, starts_s[i], scale);
    }
    return std::move(out).take();
}

} // namespace fettle
