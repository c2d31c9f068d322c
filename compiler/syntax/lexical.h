// The words and signs of the language, below the grammar: how long a name, a literal, a stretch of
// blanks is. Shared by the grammar, the recovery and the formatter, so that they cannot disagree.
//
// Every function takes a pointer into a text that ends with a zero byte and holds no other one.
#pragma once

#include "compiler/syntax/tree.h"

#include <array>
#include <cstdint>
#include <cstring>
#include <string_view>

namespace fettle::lexical {

enum Class : std::uint8_t {
    is_blank = 1,  // space, tab, carriage return: they never mean anything
    is_letter = 2, // a-z, A-Z
    is_digit = 4,
    is_inner = 8, // letters, digits, '_': what a name goes on with
    is_high = 16, // part of a character above ASCII
};

inline constexpr auto classes = [] {
    std::array<std::uint8_t, 256> table{};
    for (const char c : {' ', '\t', '\r'})
        table[static_cast<unsigned char>(c)] = is_blank;
    for (unsigned c = 'a'; c <= 'z'; ++c)
        table[c] = is_letter | is_inner;
    for (unsigned c = 'A'; c <= 'Z'; ++c)
        table[c] = is_letter | is_inner;
    for (unsigned c = '0'; c <= '9'; ++c)
        table[c] = is_digit | is_inner;
    table['_'] = is_inner;
    for (unsigned c = 0x80; c <= 0xFF; ++c)
        table[c] = is_high;
    return table;
}();

inline std::uint8_t class_of(char c) {
    return classes[static_cast<unsigned char>(c)];
}
inline bool digit(char c) {
    return static_cast<unsigned char>(c - '0') < 10;
}

// Length of the letter (or, inside a name, mark) above ASCII at `p`; 0 if there is none. A byte
// that is not UTF-8 counts as a letter: it has its own message, and must not cause another.
std::uint32_t high_letter(const char* p, bool inside_name);

// Length of the blank above ASCII at `p` (no-break and thin spaces, as web pages have); 0 if none.
std::uint32_t high_blank(const char* p);

// Past the name at `p`, or `p` where none starts.
inline const char* after_word(const char* p) {
    if (!(class_of(*p) & is_letter)) {
        if (!(class_of(*p) & is_high))
            return p;
        const std::uint32_t first = high_letter(p, false);
        if (first == 0)
            return p;
        p += first;
    }
    for (;;) {
        while (class_of(*p) & is_inner)
            ++p;
        if (!(class_of(*p) & is_high))
            return p;
        const std::uint32_t more = high_letter(p, true);
        if (more == 0)
            return p;
        p += more;
    }
}
inline std::string_view word_at(const char* p) {
    return {p, static_cast<std::size_t>(after_word(p) - p)};
}

// Does the text at `p` start with `with`?
inline bool starts(const char* p, std::string_view with) {
    return std::strncmp(p, with.data(), with.size()) == 0;
}

// Does a name go on at `p`?
inline bool inside_word(const char* p) {
    const std::uint8_t c = class_of(*p);
    return (c & is_inner) || ((c & is_high) && high_letter(p, true) != 0);
}

// To the end of the line (at its '\n') or of the text.
inline const char* to_line_end(const char* p) {
    const char* end = std::strchr(p, '\n');
    return end ? end : p + std::strlen(p);
}

// Past blanks and a comment, up to the end of the line.
const char* skip_blank_slow(const char* p);
inline const char* skip_blank(const char* p) {
    while (*p == ' ')
        ++p;
    return *p == '\n' || (class_of(*p) & is_inner) ? p : skip_blank_slow(p);
}

// Past blanks, comments and line ends.
inline const char* skip_gap(const char* p) {
    for (;;) {
        p = skip_blank(p);
        if (*p != '\n')
            return p;
        ++p;
    }
}

// Past blanks alone.
const char* skip_spaces(const char* p);

struct Literal {
    NodeKind kind = NodeKind::absent; // number, quantity, clock or version; absent: none here
    std::uint32_t length = 0;
    bool strange = false; // has a character above ASCII
};

// The number at `p`, with the unit that is glued to it, longest match. A '-' at `p` is taken along.
Literal literal_at(const char* p);

// Length of "cone 06" or "cone 5½" at `p`, 0 if there is no such. Names may be called cone, too.
std::uint32_t cone_at(const char* p);

// The words that are never names.
bool is_reserved(std::string_view word);

// Letters that are units where they stand behind a number and a space ("20 min"). Only to recognise
// the slip; the units themselves are known elsewhere.
bool looks_like_unit(std::string_view word);

} // namespace fettle::lexical
