// Characters of UTF-8 text as a terminal and an editor see them.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>

namespace fettle {

struct Character {
    char32_t code = 0;       // U+FFFD where the bytes are not UTF-8
    std::uint8_t length = 1; // in bytes; 1 for a byte that is not UTF-8
    bool valid = true;
};

// The character at the front of `text`, which must not be empty.
Character first_character(std::string_view text);

// Appends `code` as UTF-8.
void append_character(std::string& out, char32_t code);

// Columns that it takes up in a terminal: 0 (a combining mark), 1 or 2 (wide).
int display_width(char32_t code);

// Control characters, marks that turn the direction of text, and other invisible ones: they could
// change what a terminal shows. The tab and the line end are among them.
bool is_unsafe(char32_t code);

// Text made safe for a terminal: "<U+001B>" for an unsafe character, "<0xFF>" for a byte that is
// not UTF-8. A line end stays; a tab becomes a space.
std::string visible(std::string_view text);

// Columns of the text after `visible`.
std::size_t display_width(std::string_view text);

// Number of UTF-16 code units, which editors and SARIF count in.
std::uint32_t utf16_length(std::string_view text);
// The byte offset in `text` after `units` code units; its size when the text is shorter.
std::uint32_t utf16_offset(std::string_view text, std::uint32_t units);

} // namespace fettle
