#include "compiler/cli/file_names.h"

#include "compiler/source/characters.h"

#include <fmt/format.h>

#include <unordered_map>

namespace fettle {
namespace {

char32_t small_letter(char32_t code) {
    const auto in = [&](char32_t low, char32_t high) { return code >= low && code <= high; };
    if (in(U'A', U'Z') || (in(0xC0, 0xDE) && code != 0xD7) || in(0x391, 0x3A9) ||
        in(0x410, 0x42F)) {
        return code + 32;
    }
    if (in(0x400, 0x40F))
        return code + 80;
    if (in(0x531, 0x556))
        return code + 48;
    // Pairs of capital and small, side by side.
    if (in(0x100, 0x137) || in(0x14A, 0x177) || in(0x460, 0x481) || in(0x48A, 0x4BF) ||
        in(0x4D0, 0x52F) || in(0x1E00, 0x1E95) || in(0x1EA0, 0x1EFF)) {
        return code | 1;
    }
    if (in(0x139, 0x148) || in(0x179, 0x17E) || in(0x4C1, 0x4CE))
        return code + (code & 1);
    return code;
}

} // namespace

std::string small_letters(std::string_view text) {
    std::string small;
    while (!text.empty()) {
        const Character character = first_character(text);
        append_character(small, small_letter(character.code));
        text.remove_prefix(character.length);
    }
    return small;
}

namespace {

// `what`: "firings". Of one kind, whose files have the same ending.
void report_clashes(Reading& reading, const std::vector<DeclarationId>& ids,
                    std::string_view what) {
    const Program& program = reading.compilation->program();
    std::unordered_map<std::string, DeclarationId> first;
    for (DeclarationId id : ids) {
        const Declaration& declaration = program.declarations[id];
        const std::string_view name = program.name(declaration.name);
        const auto [at, is_new] = first.emplace(small_letters(name), id);
        if (is_new)
            continue;
        const Declaration& other = program.declarations[at->second];
        const std::string_view other_name = program.name(other.name);
        const Module& module = program.modules[declaration.module];
        const Module& other_module = program.modules[other.module];
        reading.diagnostics
            .report(DiagnosticKind::duplicate_name, module.span(module.child(declaration.node, 0)),
                    name == other_name
                        ? fmt::format("two {} are named `{}`, so their files would replace "
                                      "one another",
                                      what, name)
                        : fmt::format("the {} `{}` and `{}` differ in capitals only, so on "
                                      "many disks their files would replace one another",
                                      what, other_name, name))
            .note(other_module.span(other_module.child(other.node, 0)), "the other one is here")
            .mend("rename one of them, or build the two files into different folders");
    }
}

} // namespace

void report_clashes(Reading& reading) {
    report_clashes(reading, reading.firings, "firings");
    std::vector<DeclarationId> memories;
    for (const Memory* memory : reading.compilation->memories())
        memories.push_back(memory->declaration);
    report_clashes(reading, memories, "memories");
}

} // namespace fettle
