#include "compiler/cli/output_formats.h"

#include "compiler/output/class_card.h"
#include "compiler/output/csv.h"
#include "compiler/output/firing_card.h"
#include "compiler/output/firing_curve.h"
#include "compiler/output/header.h"
#include "compiler/output/json.h"
#include "compiler/output/keying_sheet.h"
#include "compiler/output/steps_csv.h"
#include "compiler/output/writing_sheet.h"
#include "compiler/proof/read_csv.h"
#include "compiler/proof/read_header.h"
#include "compiler/proof/read_json.h"

#include <array>

namespace fettle {
namespace {

void nothing_more(Compilation&) {}

void what_to_expect(Compilation& compilation) {
    compilation.tell_what_to_expect();
}

void what_to_teach(Compilation& compilation) {
    compilation.tell_what_to_expect();
    compilation.tell_words_of_all_rules();
}

constexpr OutputFormat formats[] = {
    {"csv", ".csv", [](Compilation& compilation) { compilation.tell_cones_after_segments(); },
     [](std::string& text, const FiringDocument& document, const OutputOptions& options) {
         text += csv(document, options.scale);
     },
     [](std::string_view text, const FiringDocument& document, const OutputOptions& options) {
         return difference_of_csv(text, *document.schedule, options.scale);
     }},
    {"json", ".json", nothing_more,
     [](std::string& text, const FiringDocument& document, const OutputOptions&) {
         append_json(text, document, JsonLayout::indented);
     },
     [](std::string_view text, const FiringDocument& document, const OutputOptions&) {
         return difference_of_json(text, *document.schedule,
                                   document.steps ? &*document.steps : nullptr);
     }},
    {"steps", ".steps.csv", nothing_more,
     [](std::string& text, const FiringDocument& document, const OutputOptions&) {
         text += steps_csv(document);
     },
     [](std::string_view text, const FiringDocument& document, const OutputOptions&) {
         return difference_of_steps_csv(text, *document.steps);
     },
     true},
    {"header", ".h", nothing_more,
     [](std::string& text, const FiringDocument& document, const OutputOptions&) {
         text += header(document);
     },
     [](std::string_view text, const FiringDocument& document, const OutputOptions&) {
         return difference_of_header(text, *document.schedule);
     }},
    {"svg", ".svg", what_to_expect,
     [](std::string& text, const FiringDocument& document, const OutputOptions& options) {
         text += curve_file(document, options);
     }},
    {"card", ".card.html", what_to_expect, append_firing_card},
    {"class-card", ".class-card.html", what_to_teach, append_class_card},
    {"keying", ".keying.html", nothing_more, append_keying_sheet},
    {"writing", ".writing.html", what_to_expect, append_writing_sheet},
};

constexpr auto names = [] {
    std::array<std::string_view, std::size(formats) + 1> all;
    for (std::size_t i = 0; i < std::size(formats); ++i)
        all[i] = formats[i].name;
    all.back() = memory_format;
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
