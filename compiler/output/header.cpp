#include "compiler/output/header.h"

#include "runtime/schedule/to_table.h"

#include <cctype>
#include <fmt/format.h>

namespace fettle {

namespace {

// A name that every compiler takes; letters beyond ASCII become their code points.
std::string identifier(std::string_view name) {
    std::string text;
    for (const char c : name) {
        const auto byte = static_cast<unsigned char>(c);
        if (std::isalnum(byte) != 0 && byte < 0x80) {
            text += c;
        } else if (byte < 0x80) {
            text += '_';
        } else {
            text += fmt::format("x{:02x}", byte);
        }
    }
    return text.empty() || std::isdigit(static_cast<unsigned char>(text[0])) != 0 ? "f_" + text
                                                                                  : text;
}

// A string literal: every byte that could end it, or mean something, in octal (which, unlike
// hexadecimal, ends after three digits).
std::string literal(const char* text) {
    if (text == nullptr) {
        return "nullptr";
    }
    std::string quoted = "\"";
    for (; *text != '\0'; ++text) {
        const auto byte = static_cast<unsigned char>(*text);
        const bool plain =
            byte >= 0x20 && byte < 0x7f && byte != '"' && byte != '\\' && byte != '?';
        quoted += plain ? std::string(1, *text) : fmt::format("\\{:03o}", byte);
    }
    return quoted + '"';
}

std::string_view kind_word(player::Kind kind) {
    switch (kind) {
    case player::Kind::ramp: return "ramp";
    case player::Kind::soak: return "soak";
    case player::Kind::full: return "full";
    case player::Kind::free: return "free";
    case player::Kind::opened: return "opened";
    }
    return {};
}

} // namespace

std::string header(const FiringDocument& document) {
    const MadeTable made = to_table(*document.schedule, std::string(document.name));
    const player::Table& table = made.table;
    const std::string name = identifier(document.name);
    std::string text = fmt::format(
        "// The firing {0} as constant data, made by Fettle {1} for runtime/player/player.h.\n"
        "//\n"
        "// THIS IS NOT A SAFETY DEVICE. A table says what was asked for, not what is safe. A kiln "
        "needs an\n"
        "// over-temperature cut-out that is independent of whatever plays this table.\n"
        "#pragma once\n\n"
        "#include \"runtime/player/table.h\"\n\n"
        "namespace fettle::firings::{0}_data {{\n\n"
        "inline constexpr const char* phases[] = {{\n",
        name, document.compiler_version);
    for (std::uint16_t i = 0; i < table.phase_count; ++i) {
        text += fmt::format("    {},\n", literal(table.phases[i]));
    }
    text +=
        "};\n\n// kind, to (thousandths of a degree C), time (ms), time to expect (ms), waiting "
        "within\n// (thousandths of a degree), phase, job\n"
        "inline constexpr player::Segment segments[] = {\n";
    for (std::uint16_t i = 0; i < table.segment_count; ++i) {
        const player::Segment& segment = table.segments[i];
        text += fmt::format("    {{player::Kind::{}, {}, {}, {}, {}, {}, {}}},\n",
                            kind_word(segment.kind), segment.to_millicelsius, segment.duration_ms,
                            segment.expected_ms, segment.waiting_within_millikelvin, segment.phase,
                            literal(segment.job));
    }
    text +=
        fmt::format("}};\n\n}} // namespace fettle::firings::{0}_data\n\n"
                    "namespace fettle::firings {{\n\n"
                    "inline constexpr player::Table {0} = {{\n    {1}, {2}, player::no_ceiling, "
                    "{3},\n    {0}_data::segments, {4}, {0}_data::phases, {5}}};\n"
                    "static_assert(player::fault_of({0}) == player::TableFault::none);\n\n"
                    "}} // namespace fettle::firings\n",
                    name, literal(table.name), table.start_millicelsius, table.delay_ms,
                    table.segment_count, table.phase_count);
    return text;
}

} // namespace fettle
