// The kinds of files that `build` writes: one row each.
#pragma once

#include "compiler/compiler.h"
#include "compiler/output/output_options.h"

#include <span>
#include <string>
#include <string_view>

namespace fettle {

struct OutputFormat {
    std::string_view name;   // as in `--as csv`
    std::string_view ending; // of the file: ".csv"
    // What the compilation must tell for it.
    void (*needs)(Compilation& compilation);
    // Appends the text of the file.
    void (*append)(std::string& text, const FiringDocument& document, const OutputOptions& options);
    // Reads the text back, by code that did not write it: what differs, or nothing. May be null.
    std::string (*difference)(std::string_view text, const FiringDocument& document,
                              const OutputOptions& options) = nullptr;
    // It shows a controller's table: not for a firing without one.
    bool needs_steps = false;
};

std::span<const OutputFormat> output_formats();
// In the same order; behind them that of what is made for each memory, not for each firing.
std::span<const std::string_view> output_format_names();
inline constexpr std::string_view memory_format = "memory";

} // namespace fettle
