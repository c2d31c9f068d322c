#include "compiler/output/json_text.h"

#include "compiler/source/characters.h"

#include <algorithm>

namespace fettle {

namespace {

// Whether any of eight bytes is a control, a quote, a backslash or not ASCII; each test sets the
// top bit of the bytes it finds.
bool has_special(std::uint64_t bytes) {
    constexpr std::uint64_t ones = 0x0101010101010101;
    constexpr std::uint64_t tops = 0x8080808080808080;
    const auto zero_byte = [](std::uint64_t word) { return (word - ones) & ~word & tops; };
    const std::uint64_t control = (bytes - ones * 0x20) & ~bytes & tops;
    return (control | zero_byte(bytes ^ ones * '"') | zero_byte(bytes ^ ones * '\\') |
            (bytes & tops)) != 0;
}

bool is_special(char c) {
    const auto byte = static_cast<unsigned char>(c);
    return byte < 0x20 || byte >= 0x80 || byte == '"' || byte == '\\';
}

bool has_special(const char* eight) {
    std::uint64_t bytes;
    std::memcpy(&bytes, eight, sizeof bytes);
    return has_special(bytes);
}

// Whether all of a text may stand in quotes as it is; most are.
bool is_plain(std::string_view text) {
    const std::size_t size = text.size();
    if (size < 8) // the texts are short here, and words
        return std::none_of(text.begin(), text.end(), is_special);
    for (std::size_t at = 0; at + 8 < size; at += 8) {
        if (has_special(text.data() + at))
            return false;
    }
    return !has_special(text.data() + size - 8);
}

} // namespace

void JsonText::text(std::string_view text) {
    if (is_plain(text) && text.size() + 2 <= buffer_size) {
        room_for(text.size() + 2);
        *at_++ = '"';
        std::memcpy(at_, text.data(), text.size());
        at_ += text.size();
        *at_++ = '"';
        return;
    }
    raw("\"");
    while (!text.empty()) {
        room_for(16);
        if (is_special(text.front())) {
            text.remove_prefix(put_special(text));
        } else {
            *at_++ = text.front();
            text.remove_prefix(1);
        }
    }
    raw("\"");
}

std::size_t JsonText::put_special(std::string_view rest) {
    constexpr char hex[] = "0123456789abcdef";
    const char c = rest.front();
    const auto escape = [&](char letter) {
        *at_++ = '\\';
        *at_++ = letter;
    };
    switch (c) {
    case '"': escape('"'); return 1;
    case '\\': escape('\\'); return 1;
    case '\n': escape('n'); return 1;
    case '\r': escape('r'); return 1;
    case '\t': escape('t'); return 1;
    default: break;
    }
    const auto byte = static_cast<unsigned char>(c);
    if (byte < 0x20) {
        raw("\\u00");
        *at_++ = hex[byte >> 4];
        *at_++ = hex[byte & 15];
        return 1;
    }
    const Character character = first_character(rest);
    if (character.valid) {
        raw(rest.substr(0, character.length));
    } else {
        raw("\xEF\xBF\xBD");
    }
    return character.length;
}

} // namespace fettle
