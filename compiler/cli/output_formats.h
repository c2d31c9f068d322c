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
};

std::span<const OutputFormat> output_formats();
std::span<const std::string_view> output_format_names(); // in the same order

} // namespace fettle
