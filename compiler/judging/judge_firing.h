// A compiled firing judged by its log: the runtime's judgement, with what only the program knows
// (acceptance, cones of body and glaze, where the top is written).
#pragma once

#include "compiler/judging/judging_data.h"
#include "compiler/lowering/compile_firing.h"
#include "runtime/log/correct.h"
#include "runtime/log/judge.h"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace fettle {

// What the person who unloaded the kiln tells.
struct UnloadingNotes {
    std::vector<WitnessReading> witnesses;
    std::vector<std::string> defects; // that the table of causes knows
};

// How a correction would change what another shelf gets.
struct ShelfNextTime {
    std::string shelf;
    ConeReading was, then;
};

struct JudgedFiring {
    const FiringDocument* document = nullptr;
    const ConeScale* scale = nullptr;
    const LogReading* reading = nullptr;
    std::string log_name; // as it was typed
    std::size_t sensor = 0;
    std::vector<AcceptanceItem> acceptance; // in the order of document->accept
    Judgement judgement;

    std::optional<double> asked_cone; // that the firing is meant to reach; nothing: none is known
    // The correction for the shelf that is named, or by the sensor alone where no cones were read.
    std::optional<NextTime> next;
    std::string next_shelf;
    bool next_by_sensor = false;
    std::vector<ShelfNextTime> shelves_next; // the others, with the first choice
    // The unified difference of the edit to the source, and where it is; empty: none can be given.
    std::string edit_path;
    std::uint32_t edit_line = 0;
    std::string edit_difference;
    std::string edit_note; // what else it touches, or why there is none

    Measures measures;
    std::vector<Inquest> inquests;
};

// Without the edit, which needs the sources (next_edit.h). `data` and `reading` must outlive it.
JudgedFiring judge_firing(const CompileContext& context, const CompiledFiring& firing,
                          const LogReading& reading, std::size_t sensor,
                          const UnloadingNotes& notes, const JudgingData& data);

// The numbers that the evidence of an inquest is held against (data/defect_causes.csv).
Measures measure(const CompileContext& context, const CompiledFiring& firing,
                 const JudgedFiring& judged);

// A measure with its unit, for people: "1h5m between 700C and 900C".
std::string measure_text(std::string_view measure, double value);

} // namespace fettle
