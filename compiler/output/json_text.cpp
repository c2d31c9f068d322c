#include "compiler/output/json_text.h"

#include "compiler/source/characters.h"

namespace fettle {

namespace {

// Not 0: some of eight bytes are a control, a quote, a backslash or not ASCII; each test sets the
// top bit of the bytes it finds.
std::uint64_t specials(std::uint64_t bytes) {
    constexpr std::uint64_t ones = 0x0101010101010101;
    constexpr std::uint64_t tops = 0x8080808080808080;
    const auto zero_byte = [](std::uint64_t word) { return (word - ones) & ~word & tops; };
    const std::uint64_t control = (bytes - ones * 0x20) & ~bytes & tops;
    return control | zero_byte(bytes ^ ones * '"') | zero_byte(bytes ^ ones * '\\') |
           (bytes & tops);
}

bool is_special(char c) {
    const auto byte = static_cast<unsigned char>(c);
    return byte < 0x20 || byte >= 0x80 || byte == '"' || byte == '\\';
}

template <class Word> Word copy_word(const char* from, char* to) {
    Word word;
    std::memcpy(&word, from, sizeof word);
    std::memcpy(to, &word, sizeof word);
    return word;
}

// Copies a text, and tells whether it may stand in quotes as it is; most may. The last bytes are
// taken twice rather than one by one.
bool copy_plain(std::string_view text, char* to) {
    const char* from = text.data();
    const std::size_t size = text.size();
    std::uint64_t found = 0;
    if (size >= 8) {
        for (std::size_t at = 0; at + 8 < size; at += 8)
            found |= specials(copy_word<std::uint64_t>(from + at, to + at));
        found |= specials(copy_word<std::uint64_t>(from + size - 8, to + size - 8));
    } else if (size >= 4) {
        const std::uint64_t first = copy_word<std::uint32_t>(from, to);
        const std::uint64_t last = copy_word<std::uint32_t>(from + size - 4, to + size - 4);
        found = specials(first | last << 32);
    } else {
        for (std::size_t at = 0; at < size; ++at) {
            to[at] = from[at];
            found |= is_special(from[at]) ? 1 : 0;
        }
    }
    return found == 0;
}

} // namespace

void JsonText::text(std::string_view text) {
    if (text.size() + 2 <= buffer_size) {
        room_for(text.size() + 2);
        if (copy_plain(text, at_ + 1)) {
            at_[0] = '"';
            at_[text.size() + 1] = '"';
            at_ += text.size() + 2;
            return;
        }
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
