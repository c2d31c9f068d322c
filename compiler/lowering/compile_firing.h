// One firing all the way: worked out, lowered, checked against its rules, described for outputs.
#pragma once

#include "compiler/lowering/document.h"
#include "compiler/lowering/rules.h"
#include "compiler/meaning/firing.h"
#include "runtime/heatwork/heat_work.h"
#include "runtime/schedule/schedule.h"

namespace fettle {

// Everything about one firing. Views in `document` point into the rest and into the program.
struct CompiledFiring {
    CompiledFiring() = default;
    CompiledFiring(const CompiledFiring&) = delete;
    CompiledFiring& operator=(const CompiledFiring&) = delete;

    Firing firing;
    Schedule schedule;
    std::vector<std::uint32_t> made_by; // of each segment: its step in `firing.steps`
    ConeReading reading;                // at the end
    FiringDocument document;
    // What the table makes of the schedule that it should not: a fault of ours. Empty: none.
    std::string fault;
    bool ok = false; // whole, and no error among its diagnostics: it may be written
};

// What is the same for all firings of a compilation.
struct CompileContext {
    const Program& program;
    const Ceramics& ceramics;
    const RuleBook& rules;
    const SourceOrigin* origin = nullptr;
    std::string_view compiler_version;
    bool cones_after_each_segment = false; // FiringDocument::cones_after, for CSV
    bool split_programs = false;           // where a table is too long, programs in a row
    std::uint32_t controller = none;       // Program::profiles; in place of the kiln's own
    bool what_to_expect = false;           // cones_expected and interruptions, for cards and sheets
    RuleWords rule_words = RuleWords::of_broken; // all where the class is told of them
};

// `result` is filled afresh. Returns `ok`.
bool compile_firing(const CompileContext& context, DeclarationId firing, CompiledFiring& result,
                    Diagnostics& diagnostics);
// A firing made in place in a test.
bool compile_template(const CompileContext& context, DeclarationId template_,
                      std::span<const Value> arguments, CompiledFiring& result,
                      Diagnostics& diagnostics);

} // namespace fettle
