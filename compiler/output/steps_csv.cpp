#include "compiler/output/steps_csv.h"

#include "compiler/output/csv_text.h"
#include "compiler/output/words.h"

#include <fmt/format.h>

namespace fettle {

namespace {

std::string numbers(const std::vector<std::uint32_t>& segments) {
    std::string text;
    for (const std::uint32_t segment : segments) {
        text += fmt::format("{}{}", text.empty() ? "" : " ", segment + 1);
    }
    return text;
}

} // namespace

std::string steps_csv(const FiringDocument& document) {
    if (!document.steps) {
        return {};
    }
    const Steps& steps = *document.steps;
    const bool by_time = steps.form == StepForm::duration_target;
    const char unit = steps.scale == Scale::celsius ? 'c' : 'f';
    CsvText out;
    out.word("program");
    out.word("step");
    if (by_time) {
        out.word("duration_min");
    } else {
        out.word(fmt::format("rate_{}_per_h", unit));
    }
    out.word(fmt::format("target_{}", unit));
    if (!by_time) {
        out.word("soak_min");
    }
    out.word(fmt::format("waiting_within_{}", unit));
    for (const char* name : {"kind", "phase", "segments", "ends_min"}) {
        out.word(name);
    }
    out.end_row();
    for (const StepProgram& program : steps.programs) {
        for (const StepRow& row : program.rows) {
            out.text(program.name);
            out.number(row.step);
            out.number(by_time ? row.duration_min : row.rate_per_h);
            out.number(row.target);
            if (!by_time) {
                out.number(row.soak_min);
            }
            out.number(row.waiting_within);
            out.word(to_word(row.kind));
            out.text(row.phase);
            out.word(numbers(row.segments));
            out.number(row.ends_s ? std::optional(*row.ends_s / 60) : std::nullopt);
            out.end_row();
        }
    }
    return std::move(out).take();
}

} // namespace fettle
