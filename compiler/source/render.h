// Diagnostics → what people and programs read. All three take the diagnostics as they were reported
// and bring them into the order of `Diagnostics::sorted`.
#pragma once

#include "compiler/source/diagnostic.h"
#include "compiler/source/source_file.h"

#include <cstddef>
#include <functional>
#include <string>
#include <string_view>

namespace fettle {

struct TextOptions {
    bool colour = false;     // escape sequences for a terminal; they carry no meaning of their own
    std::size_t width = 100; // columns; source lines longer than that are cut around the fault
    std::size_t most = 100;  // messages; past that the cautions and advice are left out first
};

// For a person: each message with its source lines, underlined, and the number of them at the end.
// Empty if there are none. Safe for a terminal whatever the sources contain.
std::string render_text(const Sources& sources, const Diagnostics& diagnostics,
                        const TextOptions& options = {});

// "2 errors, 1 caution"; "nothing to report" if there are none.
std::string summary_line(const Diagnostics& diagnostics);

// For a program: docs/report.schema.json describes it. Lines and columns as in `Place`, ends are
// those of the character after; offsets and lengths are in bytes.
std::string render_json(const Sources& sources, const Diagnostics& diagnostics);

struct SarifOptions {
    std::string_view version; // of the compiler; may be empty
    // The page of `fettle explain` for a name, in Markdown; may be left empty.
    std::function<std::string_view(std::string_view name)> explain;
};

// For code review and build services: the Static Analysis Results Interchange Format 2.1.0.
std::string render_sarif(const Sources& sources, const Diagnostics& diagnostics,
                         const SarifOptions& options = {});

} // namespace fettle
