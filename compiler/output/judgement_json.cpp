#include "compiler/output/judgement.h"

#include "compiler/output/judgement_words.h"
#include "compiler/output/log_words.h"
#include "compiler/source/json_writer.h"

#include <array>

namespace fettle {
namespace {

std::string_view to_word(PieceEnd end) {
    constexpr std::array<std::string_view, 4> words = {"reached", "not_reached", "log_ended",
                                                       "not_begun"};
    return words[static_cast<std::size_t>(end)];
}

std::string_view verdict_word(Verdict verdict) {
    constexpr std::array<std::string_view, 3> words = {"pass", "fail", "cannot_tell"};
    return words[static_cast<std::size_t>(verdict)];
}

std::optional<std::string_view> text_or_null(std::string_view text) {
    return text.empty() ? std::nullopt : std::optional(text);
}

void put_heat(JsonWriter& json, const ConeReading& heat, const ConeScale& scale) {
    json.line_object();
    json.field("cone", heat.complete ? std::optional(cone_name(scale.cones[*heat.complete].cone))
                                     : std::nullopt);
    json.field("next_cone",
               heat.next ? std::optional(cone_name(scale.cones[*heat.next].cone)) : std::nullopt);
    json.key("fraction_to_next");
    heat.next ? json.number(heat.fraction_to_next, 3) : json.null();
    json.end_object();
}

void put_log(JsonWriter& json, const JudgedFiring& judged) {
    const LogReading& reading = *judged.reading;
    json.key("log");
    json.object();
    json.field("name", judged.log_name);
    json.field("sensor", reading.sensors[judged.sensor].name);
    json.field("rows", reading.rows);
    json.field("duration_s", reading.time_s.back(), 1);
    json.field("interval_s", reading.typical_interval_s, 3);
    json.key("began");
    reading.first_date_s ? json.text(printed_date(*reading.first_date_s)) : json.null();
    json.key("assumed");
    json.array();
    for (const LogAssumption& assumption : reading.assumptions)
        json.text(describe(assumption, reading));
    json.end_array();
    json.key("notes");
    json.array();
    for (const LogProblem& problem : reading.problems)
        json.text(describe(problem, reading));
    for (const std::string& line : whole_lines(judged, Scale::celsius))
        json.text(line);
    json.end_array();
    json.field("looks_like_another_firing", judged.judgement.alignment.looks_like_another);
    json.field("heating_begins_s", judged.judgement.alignment.start_s, 1);
    json.end_object();
}

void put_acceptance(JsonWriter& json, const JudgedFiring& judged) {
    json.key("acceptance");
    json.object();
    json.field("verdict", verdict_word(judged.judgement.overall));
    json.key("items");
    json.array();
    for (const AcceptanceVerdict& verdict : judged.judgement.acceptance) {
        const AcceptItem& item = judged.document->accept[verdict.item];
        json.line_object();
        json.field("kind", item.kind);
        json.field("value", item.value, 1);
        json.field("tolerance", item.tolerance, 1);
        json.field("cone", text_or_null(item.cone));
        json.field("shelf", text_or_null(verdict.shelf.empty() ? item.shelf
                                                               : std::string_view(verdict.shelf)));
        json.field("verdict", verdict_word(verdict.verdict));
        json.field("found", verdict.found, 1);
        json.field("words", verdict_line(judged, verdict, Scale::celsius));
        json.end_object();
    }
    json.end_array();
    json.end_object();
}

void put_phases(JsonWriter& json, const JudgedFiring& judged) {
    const Schedule& schedule = *judged.document->schedule;
    json.key("phases");
    json.array();
    for (const PhaseJudgement& phase : judged.judgement.phases) {
        json.line_object();
        json.field("phase", schedule.phases[phase.phase].name);
        json.field("starts_s", phase.from_s, 1);
        json.field("asked_s", phase.asked_s, 1);
        json.field("real_s", phase.to_s - phase.from_s, 1);
        json.field("hottest_c", phase.highest_c, 1);
        json.field("end", to_word(phase.end));
        json.key("heat_work");
        put_heat(json, phase.heat, *judged.scale);
        json.end_object();
    }
    json.end_array();
    json.key("segments");
    json.array();
    for (std::size_t i = 0; i < judged.judgement.segments.size(); ++i) {
        const SegmentJudgement& segment = judged.judgement.segments[i];
        json.line_object();
        json.field("index", i);
        json.field("starts_s", segment.piece.from_s, 1);
        json.field("asked_s", segment.asked_s, 1);
        json.field("real_s", segment.piece.duration_s(), 1);
        json.field("from_c", segment.began_c, 1);
        json.field("to_c", segment.ended_c, 1);
        json.field("asked_rate_c_per_h", segment.asked_rate_k_per_h, 1);
        json.field("real_rate_c_per_h", segment.real_rate_k_per_h, 1);
        json.field("within_band_s", segment.within_band_s, 1);
        json.field("end", to_word(segment.piece.end));
        json.end_object();
    }
    json.end_array();
}

void put_heat_work(JsonWriter& json, const JudgedFiring& judged) {
    json.field("peak_c", judged.judgement.alignment.peak_c, 1);
    json.key("heat_work");
    put_heat(json, judged.judgement.heat, *judged.scale);
    json.key("shelves");
    json.array();
    for (const ShelfHeat& shelf : judged.judgement.shelves) {
        json.object();
        json.field("shelf", text_or_null(shelf.shelf));
        json.key("cones");
        json.line_array();
        for (const WitnessReading& reading : shelf.readings) {
            json.object();
            json.field("cone", cone_name(reading.cone));
            json.field("look", fettle::to_word(reading.look));
            json.end_object();
        }
        json.end_array();
        const bool usable = shelf.known && !shelf.contradictory;
        json.key("hotter_than_sensor_k");
        usable ? json.number(shelf.best_k, 1) : json.null();
        json.field("at_least_k", shelf.low_k, 1);
        json.field("at_most_k", shelf.high_k, 1);
        json.key("heat_work");
        usable ? put_heat(json, shelf.heat, *judged.scale) : json.null();
        json.end_object();
    }
    json.end_array();
}

void put_next_time(JsonWriter& json, const JudgedFiring& judged) {
    json.key("next_time");
    if (!judged.next) {
        json.null();
        return;
    }
    const NextTime& next = *judged.next;
    json.object();
    json.field("cone", cone_name(next.cone));
    json.field("shelf", text_or_null(judged.next_shelf));
    json.field("by_sensor_alone", judged.next_by_sensor);
    json.field("heat_work", next.work_was, 3);
    json.key("choices");
    json.array();
    for (const Correction& choice : next.choices) {
        json.line_object();
        json.field("top_c", choice.top_c, 1);
        json.field("soak_s", choice.soak_s, 0);
        json.field("heat_work", choice.work, 3);
        json.end_object();
    }
    json.end_array();
    json.key("words");
    json.array();
    for (const std::string& line : next_time_lines(judged, Scale::celsius))
        json.text(line);
    json.end_array();
    json.field("edit_file", text_or_null(judged.edit_path));
    json.field("edit_line", judged.edit_line == 0 ? std::nullopt : std::optional(judged.edit_line));
    json.field("edit", text_or_null(judged.edit_difference));
    json.end_object();
}

void put_inquests(JsonWriter& json, const JudgedFiring& judged) {
    json.key("inquests");
    json.array();
    for (const Inquest& inquest : judged.inquests) {
        json.object();
        json.field("defect", inquest.defect);
        json.key("causes");
        json.array();
        for (const Cause& cause : inquest.causes) {
            json.object();
            json.field("cause", cause.cause);
            json.field("likelihood", likelihood(cause));
            json.field("score", cause.score, 2);
            json.field("remedy", cause.remedy);
            json.key("evidence");
            json.array();
            for (const Evidence& evidence : cause.evidence) {
                constexpr std::array<std::string_view, 3> says = {"nothing", "supports",
                                                                  "contradicts"};
                json.line_object();
                json.field("measure", text_or_null(evidence.row->measure));
                json.key("found");
                evidence.found ? json.number(*evidence.found) : json.null();
                json.field("says", says[static_cast<std::size_t>(evidence.says)]);
                json.field("reason", evidence.row->reason);
                json.field("source", evidence.row->source);
                json.end_object();
            }
            json.end_array();
            json.end_object();
        }
        json.end_array();
        json.end_object();
    }
    json.end_array();
}

} // namespace

std::string judgement_json(const JudgedFiring& judged) {
    std::string text;
    JsonWriter json(text, JsonLayout::indented);
    json.object();
    json.field("format", "fettle.judgement");
    json.field("format_version", 1);
    json.field("compiler", judged.document->compiler_version);
    json.field("firing", judged.document->name);
    json.field("title", text_or_null(judged.document->title));
    put_log(json, judged);
    put_acceptance(json, judged);
    put_phases(json, judged);
    put_heat_work(json, judged);
    put_next_time(json, judged);
    put_inquests(json, judged);
    json.end_object();
    json.finish();
    text += '\n';
    return text;
}

} // namespace fettle
