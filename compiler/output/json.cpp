#include "compiler/output/json.h"

#include "compiler/output/cautions.h"
#include "compiler/output/json_text.h"
#include "runtime/schedule/curve.h"

namespace fettle {

namespace {

// The words of each enumeration, by its value.
constexpr std::string_view kind_words[] = {"\"ramp\"", "\"soak\"", "\"full\"", "\"free\"",
                                           "\"opened\""};
constexpr std::string_view atmosphere_words[] = {"null", "\"oxidation\"", "\"neutral\"",
                                                 "\"reduction\""};
constexpr std::string_view vent_words[] = {"null", "\"open\"", "\"propped\"", "\"closed\""};
constexpr std::string_view level_words[] = {"\"advice\"", "\"caution\"", "\"error\""};
constexpr std::string_view result_words[] = {"\"holds\"", "\"broken\"", "\"waived\"", "\"unknown\"",
                                             "\"not_applicable\""};
constexpr std::string_view form_words[] = {"\"duration_target\"", "\"rate_target_soak\"",
                                           "\"rate_or_soak\""};

template <typename Enum, std::size_t N>
std::string_view word(const std::string_view (&words)[N], Enum value) {
    return words[static_cast<std::size_t>(value)];
}

// Writes each item by `write`, with commas between.
template <typename List, typename Write>
void put_list(JsonText& out, const List& list, Write write) {
    out.raw("[");
    bool first = true;
    for (const auto& item : list) {
        if (!first) {
            out.raw(",");
        }
        first = false;
        write(item);
    }
    out.raw("]");
}

void put_indices(JsonText& out, const std::vector<std::uint32_t>& indices) {
    put_list(out, indices, [&](std::uint32_t index) { out.whole(index); });
}

template <typename Texts> void put_texts(JsonText& out, const Texts& texts) {
    put_list(out, texts, [&](const auto& text) { out.text(text); });
}

void put_source(JsonText& out, const FiringDocument& document) {
    static const SourceOrigin not_said;
    const SourceOrigin& source = document.source ? *document.source : not_said;
    out.raw(R"({"format":"fettle.schedule","format_version":1,"compiler":)");
    out.text_or_null(document.compiler_version);
    out.raw(R"(,"source":{"library":)");
    out.text_or_null(source.library);
    out.raw(R"(,"version":)");
    out.text_or_null(source.library_version);
    out.raw(R"(,"files":)");
    put_list(out, source.files, [&](const SourceOrigin::File& file) {
        out.raw(R"({"path":)");
        out.text(file.path);
        out.raw(R"(,"sha256":)");
        out.text_or_null(file.sha256);
        out.raw("}");
    });
    out.raw("}");
}

void put_ware(JsonText& out, const WareGroup& ware) {
    out.raw(R"({"name":)");
    out.text_or_null(ware.name);
    out.raw(R"(,"body":)");
    out.text_or_null(ware.body.name);
    out.raw(R"(,"glaze":)");
    out.text_or_null(ware.glaze.name);
    out.raw(R"(,"thickness_mm":)");
    out.number(ware.thickness_mm);
    out.raw(R"(,"moisture":)");
    out.general(ware.moisture);
    out.raw(R"(,"mass_kg":)");
    out.number(ware.mass_kg);
    out.raw(R"(,"shelf":)");
    out.text_or_null(ware.shelf);
    out.raw("}");
}

void put_phase(JsonText& out, const Phase& phase) {
    out.raw(R"({"name":)");
    out.text(phase.name);
    out.raw(R"(,"title":)");
    out.text_or_null(phase.title);
    out.raw(R"(,"about":)");
    out.text_or_null(phase.about);
    out.raw("}");
}

void put_firing(JsonText& out, const FiringDocument& document) {
    out.raw(R"(,"firing":{"name":)");
    out.text(document.name);
    out.raw(R"(,"title":)");
    out.text_or_null(document.title);
    out.raw(R"(,"about":)");
    out.text_or_null(document.about);
    out.raw(R"(,"arguments":{)");
    for (std::size_t i = 0; i < document.arguments.size(); ++i) {
        if (i > 0) {
            out.raw(",");
        }
        out.text(document.arguments[i].name);
        out.raw(":");
        out.text(document.arguments[i].value);
    }
    out.raw(R"(},"body":)");
    out.text_or_null(document.body.name);
    out.raw(R"(,"glaze":)");
    out.text_or_null(document.glaze.name);
    out.raw(R"(,"kiln":)");
    out.text_or_null(document.kiln.name);
    out.raw(R"(,"controller":)");
    out.text_or_null(document.controller.name);
    out.raw(R"(,"load":)");
    put_list(out, document.load, [&](const WareGroup& ware) { put_ware(out, ware); });
    out.raw(R"(,"confirm":)");
    put_list(out, document.confirms, [&](const Confirmation& confirmation) {
        out.raw(R"({"text":)");
        out.text(confirmation.text);
        out.raw(R"(,"by":)");
        out.text_or_null(confirmation.by);
        out.raw("}");
    });
    out.raw(R"(,"phases":)");
    put_list(out, document.schedule->phases, [&](const Phase& phase) { put_phase(out, phase); });
    out.raw("}");
}

void put_state(JsonText& out, const KilnState& state) {
    out.raw(R"(,"atmosphere":)");
    out.raw(word(atmosphere_words, state.atmosphere));
    out.raw(R"(,"vent":)");
    out.raw(word(vent_words, state.vent));
    out.raw(R"(,"settings":{)");
    for (std::size_t i = 0; i < state.settings.size(); ++i) {
        if (i > 0) {
            out.raw(",");
        }
        out.text(state.settings[i].control);
        out.raw(":");
        out.text(state.settings[i].value);
    }
    out.raw("}");
}

void put_segment(JsonText& out, const Schedule& schedule, std::size_t index,
                 std::optional<double> starts_s) {
    const Segment& segment = schedule.segments[index];
    out.raw(R"({"index":)");
    out.whole(index);
    out.raw(R"(,"phase":)");
    out.text(schedule.phases[segment.phase].name);
    out.raw(R"(,"starts_s":)");
    out.number(starts_s);
    out.raw(R"(,"to_cone":)");
    out.text_or_null(segment.to_cone);
    out.raw(R"(,"kind":)");
    out.raw(word(kind_words, segment.kind));
    out.raw(R"(,"from_c":)");
    out.number(segment.from_c);
    out.raw(R"(,"to_c":)");
    out.number(segment.to_c);
    out.raw(R"(,"duration_s":)");
    out.number(segment.duration_s);
    out.raw(R"(,"rate_c_per_h":)");
    out.number(segment.rate_k_per_h());
    out.raw(R"(,"waiting_within_c":)");
    out.number(segment.waiting_within_k);
    put_state(out, schedule.states[segment.state]);
    if (segment.notes.empty() && segment.jobs.empty()) {
        out.raw(R"(,"notes":[],"jobs":[])");
    } else {
        out.raw(R"(,"notes":)");
        put_texts(out, segment.notes);
        out.raw(R"(,"jobs":)");
        put_texts(out, segment.jobs);
    }
    out.raw(R"(,"from":)");
    put_list(out, segment.trail, [&](const Origin& origin) {
        out.raw(R"({"file":)");
        out.text(schedule.files[origin.file]);
        out.raw(R"(,"line":)");
        out.whole(origin.line);
        out.raw("}");
    });
    out.raw("}");
}

void put_segments(JsonText& out, const Schedule& schedule) {
    out.raw(R"(,"start":{"temperature_c":)");
    out.number(schedule.start_c);
    out.raw(R"(,"delay_s":)");
    out.number(schedule.delay_s);
    out.raw(R"(},"segments":[)");
    std::optional<double> starts_s = 0;
    for (std::size_t i = 0; i < schedule.segments.size(); ++i) {
        if (i > 0) {
            out.raw(",");
        }
        put_segment(out, schedule, i, starts_s);
        const auto& duration_s = schedule.segments[i].duration_s;
        starts_s = starts_s && duration_s ? std::optional(*starts_s + *duration_s) : std::nullopt;
    }
    out.raw("]");
}

void put_row(JsonText& out, const StepRow& row, StepForm form) {
    out.raw(R"({"step":)");
    out.whole(row.step);
    out.raw(R"(,"target":)");
    out.number(row.target);
    if (form == StepForm::duration_target) {
        out.raw(R"(,"duration_min":)");
        out.number(row.duration_min);
    }
    // A climb as fast as the kiln can has a rate, but not one that is known.
    if (form == StepForm::rate_target_soak || (form == StepForm::rate_or_soak && !row.soak_min)) {
        out.raw(R"(,"rate_per_h":)");
        out.number(row.rate_per_h);
    }
    if (form == StepForm::rate_target_soak || (form == StepForm::rate_or_soak && row.soak_min)) {
        out.raw(R"(,"soak_min":)");
        out.number(row.soak_min);
    }
    out.raw(R"(,"kind":)");
    out.raw(word(kind_words, row.kind));
    out.raw(R"(,"segments":)");
    put_indices(out, row.segments);
    out.raw(R"(,"waiting_within":)");
    out.number(row.waiting_within);
    out.raw(R"(,"phase":)");
    out.text_or_null(row.phase);
    out.raw("}");
}

void put_steps(JsonText& out, const Steps& steps) {
    out.raw(R"(,"steps":{"form":)");
    out.raw(word(form_words, steps.form));
    out.raw(R"(,"scale":)");
    out.raw(steps.scale == Scale::celsius ? R"("C")" : R"("F")");
    out.raw(R"(,"time_step_s":)");
    out.number(steps.time_step_s);
    out.raw(R"(,"programs":)");
    put_list(out, steps.programs, [&](const StepProgram& program) {
        out.raw(R"({"name":)");
        out.text(program.name);
        out.raw(R"(,"start_c":)");
        out.number(program.start_c);
        out.raw(R"(,"rows":)");
        put_list(out, program.rows, [&](const StepRow& row) { put_row(out, row, steps.form); });
        out.raw(R"(,"then":)");
        out.text_or_null(program.then);
        out.raw(R"(,"deviation_c":)");
        out.number(program.deviation_c);
        out.raw("}");
    });
    out.raw("}");
}

void put_totals(JsonText& out, const FiringDocument& document) {
    const Curve curve(*document.schedule, Estimates::ignore, Naming::no);
    const Curve estimated(*document.schedule, Estimates::use, Naming::no);
    out.raw(R"(,"totals":{"duration_s":)");
    out.number(curve.duration().value);
    out.raw(R"(,"free_cooling_s":)");
    out.number(estimated.free_cooling().value);
    out.raw(R"(,"peak_c":)");
    out.number(curve.peak().value);
    out.raw(R"(,"steps":)");
    if (document.steps) {
        std::size_t count = 0;
        for (const StepProgram& program : document.steps->programs) {
            count += program.rows.size();
        }
        out.whole(count);
    } else {
        out.raw("null");
    }
    out.raw(R"(},"heat_work":{"cone":)");
    out.text_or_null(document.heat_work.cone);
    out.raw(R"(,"next_cone":)");
    out.text_or_null(document.heat_work.next_cone);
    out.raw(R"(,"fraction_to_next":)");
    out.number(document.heat_work.fraction_to_next);
    out.raw("}");
}

void put_value(JsonText& out, const CheckValue& value) {
    if (const auto* number = std::get_if<double>(&value)) {
        out.general(*number);
    } else if (const auto* text = std::get_if<std::string_view>(&value)) {
        out.text(*text);
    } else {
        out.raw("null");
    }
}

// Has nothing to say but its result, as most that do not apply.
bool is_bare(const Check& check) {
    return std::holds_alternative<std::monostate>(check.found) &&
           std::holds_alternative<std::monostate>(check.allowed) && check.group.empty() &&
           check.unit.empty() && check.reason.empty() && check.waiver.empty() &&
           check.segments.empty();
}

void put_check(JsonText& out, const Check& check) {
    out.raw(R"({"rule":)");
    out.text(check.rule);
    out.raw(R"(,"level":)");
    out.raw(word(level_words, check.level));
    out.raw(R"(,"result":)");
    out.raw(word(result_words, check.result));
    if (is_bare(check)) {
        return out.raw(
            R"(,"group":null,"found":null,"allowed":null,"unit":null,"reason":null,"waiver":null,"segments":[]})");
    }
    out.raw(R"(,"group":)");
    out.text_or_null(check.group);
    out.raw(R"(,"found":)");
    put_value(out, check.found);
    out.raw(R"(,"allowed":)");
    put_value(out, check.allowed);
    out.raw(R"(,"unit":)");
    out.text_or_null(check.unit);
    out.raw(R"(,"reason":)");
    out.text_or_null(check.reason);
    out.raw(R"(,"waiver":)");
    out.text_or_null(check.waiver);
    out.raw(R"(,"segments":)");
    put_indices(out, check.segments);
    out.raw("}");
}

void put_accept(JsonText& out, const AcceptItem& item) {
    out.raw(R"({"kind":)");
    out.text(item.kind);
    out.raw(R"(,"value":)");
    out.number(item.value);
    out.raw(R"(,"tolerance":)");
    out.number(item.tolerance);
    out.raw(R"(,"unit":)");
    out.text_or_null(item.unit);
    out.raw(R"(,"cone":)");
    out.text_or_null(item.cone);
    out.raw(R"(,"shelf":)");
    out.text_or_null(item.shelf);
    out.raw("}");
}

void put_document(JsonText& out, const FiringDocument& document) {
    put_source(out, document);
    put_firing(out, document);
    put_segments(out, *document.schedule);
    if (document.steps) {
        put_steps(out, *document.steps);
    }
    put_totals(out, document);
    out.raw(R"(,"checks":)");
    put_list(out, document.checks, [&](const Check& check) { put_check(out, check); });
    out.raw(R"(,"accept":)");
    put_list(out, document.accept, [&](const AcceptItem& item) { put_accept(out, item); });
    out.raw(R"(,"cautions":)");
    put_texts(out, cautions(document));
    out.raw("}");
}

} // namespace

void append_json(std::string& text, const FiringDocument& document, JsonLayout layout) {
    if (layout == JsonLayout::indented) {
        std::string compact;
        append_json(compact, document, JsonLayout::compact);
        text += indented_json(compact);
        return;
    }
    JsonText out(text);
    put_document(out, document);
    out.raw("\n");
}

std::string json(const FiringDocument& document, JsonLayout layout) {
    std::string text;
    append_json(text, document, layout);
    return text;
}

} // namespace fettle
