#include "compiler/lowering/stored.h"

#include <fmt/format.h>

namespace fettle {
namespace {

std::string_view name_of(const Program& program, std::uint32_t profile) {
    return program.name(program.declarations[program.profiles[profile].declaration].name);
}

void check_kiln(const Program& program, const Memory& memory, Span span, const Firing& firing,
                Diagnostics& diagnostics) {
    const std::string_view kiln = name_of(program, memory.kiln);
    Diagnostic& d = diagnostics.report(
        DiagnosticKind::other_kiln, span,
        firing.kiln == none
            ? fmt::format("{} names no kiln, and this memory is for {}", firing.name, kiln)
            : fmt::format("{} is for the kiln {}, and this memory is for {}", firing.name,
                          name_of(program, firing.kiln), kiln));
    if (firing.kiln != none)
        d.note(firing.kiln_span, "the firing says so here");
    d.mend(fmt::format("leave it out here, or fire it in the kiln {}", kiln));
}

// The numbers after the first one.
void check_parts(const Program& program, const Memory& memory, const StoredFiring& stored,
                 Span span, const Firing& firing, std::size_t parts, Diagnostics& diagnostics) {
    const std::size_t last = stored.number + parts - 1;
    const std::string takes =
        fmt::format("{} takes {} programs, so {} to {}", firing.name, parts, stored.number, last);
    if (memory.programs && static_cast<double>(last) > *memory.programs) {
        diagnostics
            .report(DiagnosticKind::no_such_program, span,
                    fmt::format("{}: the controller {} keeps {}", takes,
                                name_of(program, memory.controller), *memory.programs))
            .mend("give it a smaller number, or let it be simplified until it fits into one");
    }
    const ModuleId module = program.declarations[memory.declaration].module;
    for (const StoredFiring& other : memory.stored) {
        if (other.number <= stored.number || other.number > last)
            continue;
        diagnostics
            .report(DiagnosticKind::program_twice, span,
                    fmt::format("{}, and program {} holds another firing", takes, other.number))
            .note(program.span(module, other.node), "that one is here")
            .mend("give one of them numbers that are free");
    }
}

} // namespace

void check_stored(const Program& program, const CompiledFiring& compiled,
                  Diagnostics& diagnostics) {
    const Firing& firing = compiled.firing;
    for (const Memory& memory : program.memories) {
        const ModuleId module = program.declarations[memory.declaration].module;
        for (const StoredFiring& stored : memory.stored) {
            if (stored.firing != firing.declaration)
                continue;
            const Span span = program.span(module, stored.node);
            const auto& steps = compiled.document.steps;
            if (firing.kiln != memory.kiln)
                check_kiln(program, memory, span, firing, diagnostics);
            else if (steps && steps->programs.size() > 1)
                check_parts(program, memory, stored, span, firing, steps->programs.size(),
                            diagnostics);
        }
    }
}

} // namespace fettle
