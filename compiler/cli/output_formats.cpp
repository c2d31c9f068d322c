#include "compiler/cli/output_formats.h"

#include "compiler/output/csv.h"
#include "compiler/output/firing_curve.h"
#include "compiler/output/json.h"

#include <array>

namespace fettle {
namespace {

constexpr OutputFormat formats[] = {
    {"csv", ".csv",
     [](std::string& text, const FiringDocument& document, const OutputOptions& options) {
         text += csv(document, options.scale);
     }},
    {"json", ".json",
     [](std::string& text, const FiringDocument& document, const OutputOptions&) {
         append_json(text, document, JsonLayout::indented);
     }},
    {"svg", ".svg",
     [](std::string& text, const FiringDocument& document, const OutputOptions& options) {
         text += curve_file(document, options);
     }},
};

constexpr auto names = [] {
    std::array<std::string_view, std::size(formats)> all;
    for (std::size_t i = 0; i < all.size(); ++i)
        all[i] = formats[i].name;
    return all;
}();

} // namespace

std::span<const OutputFormat> output_formats() {
    return formats;
}

std::span<const std::string_view> output_format_names() {
    return names;
}

} // namespace fettle
