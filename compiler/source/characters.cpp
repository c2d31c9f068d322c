#include "compiler/source/characters.h"

#include "compiler/source/character_tables.h"

#include <algorithm>
#include <fmt/format.h>
#include <iterator>

namespace fettle {

namespace {

template <std::size_t N> bool in_table(const character_tables::Range (&table)[N], char32_t code) {
    const auto* const after =
        std::upper_bound(std::begin(table), std::end(table), code,
                         [](char32_t c, const character_tables::Range& r) { return c < r.first; });
    return after != std::begin(table) && code <= std::prev(after)->last;
}

bool continues(char byte) {
    return (static_cast<unsigned char>(byte) & 0xC0U) == 0x80U;
}

std::string escaped(std::string_view bytes, const Character& character) {
    if (!character.valid) {
        return fmt::format("<0x{:02X}>", static_cast<unsigned char>(bytes.front()));
    }
    return fmt::format("<U+{:04X}>", static_cast<std::uint32_t>(character.code));
}

} // namespace

Character first_character(std::string_view text) {
    const auto lead = static_cast<unsigned char>(text.front());
    if (lead < 0x80) {
        return {lead, 1, true};
    }
    const Character bad = {0xFFFD, 1, false};
    const std::uint8_t length = lead >= 0xF0 ? 4 : lead >= 0xE0 ? 3 : 2;
    if (lead < 0xC2 || lead > 0xF4 || text.size() < length) {
        return bad;
    }
    char32_t code = lead & (0xFFU >> (length + 1U));
    for (std::size_t i = 1; i < length; ++i) {
        if (!continues(text[i])) {
            return bad;
        }
        code = (code << 6U) | (static_cast<unsigned char>(text[i]) & 0x3FU);
    }
    const bool overlong = (length == 3 && code < 0x800) || (length == 4 && code < 0x10000);
    const bool surrogate = code >= 0xD800 && code <= 0xDFFF;
    return overlong || surrogate || code > 0x10FFFF ? bad : Character{code, length, true};
}

void append_character(std::string& out, char32_t code) {
    const auto tail = [&](unsigned shift) {
        out += static_cast<char>(0x80U | ((code >> shift) & 0x3FU));
    };
    if (code < 0x80) {
        out += static_cast<char>(code);
    } else if (code < 0x800) {
        out += static_cast<char>(0xC0U | (code >> 6U));
        tail(0);
    } else if (code < 0x10000) {
        out += static_cast<char>(0xE0U | (code >> 12U));
        tail(6);
        tail(0);
    } else {
        out += static_cast<char>(0xF0U | (code >> 18U));
        tail(12);
        tail(6);
        tail(0);
    }
}

int display_width(char32_t code) {
    if (code < 0x300) {
        return 1;
    }
    if (in_table(character_tables::zero_width, code)) {
        return 0;
    }
    return in_table(character_tables::wide, code) ? 2 : 1;
}

bool is_unsafe(char32_t code) {
    static constexpr character_tables::Range unsafe[] = {
        {0x0000, 0x001F}, {0x007F, 0x009F}, {0x00AD, 0x00AD}, {0x061C, 0x061C},
        {0x180E, 0x180E}, {0x200B, 0x200B}, {0x200E, 0x200F}, {0x2028, 0x202E},
        {0x2060, 0x206F}, {0xFEFF, 0xFEFF}, {0xFFF9, 0xFFFB}, {0xE0000, 0xE007F}};
    return in_table(unsafe, code);
}

std::string visible(std::string_view text) {
    std::string out;
    out.reserve(text.size());
    while (!text.empty()) {
        const Character character = first_character(text);
        if (character.code == '\t') {
            out += ' ';
        } else if (character.code == '\n' || (character.valid && !is_unsafe(character.code))) {
            out += text.substr(0, character.length);
        } else {
            out += escaped(text, character);
        }
        text.remove_prefix(character.length);
    }
    return out;
}

std::size_t display_width(std::string_view text) {
    std::size_t width = 0;
    while (!text.empty()) {
        const Character character = first_character(text);
        const bool shown =
            character.valid && (character.code == '\t' || !is_unsafe(character.code));
        width += shown ? static_cast<std::size_t>(display_width(character.code))
                       : escaped(text, character).size();
        text.remove_prefix(character.length);
    }
    return width;
}

std::uint32_t utf16_length(std::string_view text) {
    std::uint32_t units = 0;
    while (!text.empty()) {
        const Character character = first_character(text);
        units += character.code >= 0x10000 ? 2 : 1;
        text.remove_prefix(character.length);
    }
    return units;
}

std::uint32_t utf16_offset(std::string_view text, std::uint32_t units) {
    std::size_t offset = 0;
    for (std::uint32_t seen = 0; seen < units && offset < text.size();) {
        const Character character = first_character(text.substr(offset));
        seen += character.code >= 0x10000 ? 2 : 1;
        offset += character.length;
    }
    return static_cast<std::uint32_t>(offset);
}

} // namespace fettle
