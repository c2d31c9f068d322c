#include "compiler/cli/memories.h"

#include <fmt/format.h>

#include <algorithm>
#include <deque>

namespace fettle {
namespace {

NamedProfile named(const Program& program, std::uint32_t profile) {
    const Profile& found = program.profiles[profile];
    return {program.name(program.declarations[found.declaration].name), found.title};
}

} // namespace

std::string name_of(const Program& program, const Memory& memory) {
    return std::string(program.name(program.declarations[memory.declaration].name));
}

std::size_t add_stored_firings(Reading& reading) {
    const std::size_t asked = reading.firings.size();
    const Program& program = reading.compilation->program();
    for (const Memory* memory : reading.compilation->memories()) {
        for (const StoredFiring& stored : memory->stored) {
            const bool there = std::find(reading.firings.begin(), reading.firings.end(),
                                         stored.firing) != reading.firings.end();
            if (!there && program.declarations[stored.firing].usable)
                reading.firings.push_back(stored.firing);
        }
    }
    return asked;
}

void append_memory(std::string& html, const Compilation& compilation, const Memory& memory,
                   const OutputOptions& options, const Earlier* earlier) {
    const Program& program = compilation.program();
    MemoryDocument document;
    const std::string name = name_of(program, memory);
    document.name = name;
    document.kiln = named(program, memory.kiln);
    document.controller = named(program, memory.controller);
    document.programs = memory.programs;
    document.compared = earlier != nullptr;
    std::deque<CompiledFiring> compiled;
    for (const StoredFiring& stored : memory.stored) {
        Diagnostics said_before;
        CompiledFiring& firing = compiled.emplace_back();
        if (!compile_firing(compilation.context(), stored.firing, firing, said_before) ||
            !firing.document.steps) {
            continue;
        }
        document.stored.push_back(
            {stored.number, &firing.document,
             earlier != nullptr ? earlier->changes(firing.document) : std::nullopt});
    }
    append_memory_sheet(html, document, options);
}

std::string where_stored(const Compilation& compilation, DeclarationId firing) {
    std::string text;
    for (const Memory* memory : compilation.memories()) {
        for (const StoredFiring& stored : memory->stored) {
            if (stored.firing == firing) {
                text += fmt::format("{}program {} of {}", text.empty() ? "" : ", ", stored.number,
                                    name_of(compilation.program(), *memory));
            }
        }
    }
    return text;
}

} // namespace fettle
