// Text in quotes and its computed parts, with what goes wrong in it: quotes that are missing, curly
// or single, escapes that do not exist.
#pragma once

#include "compiler/syntax/tree_builder.h"

namespace fettle {

// What a text inside a computed part of another text must give back.
struct TextState {
    const char* text_end;
    bool long_text;
    bool in_text;
    int brackets;
    const char* open;
};

// A quote, straight or curly.
inline bool at_quote(const char* p) {
    return *p == '"' || (static_cast<unsigned char>(*p) == 0xE2 && p[1] == '\x80' &&
                         (p[2] == '\x9C' || p[2] == '\x9D' || p[2] == '\x9E'));
}

TextState save_text(const TreeBuilder& b);
void restore_text(TreeBuilder& b, const TextState& saved);

// Past the opening quote. Finds out where a text without a closing one ends, and says so.
const char* open_text(TreeBuilder& b, const char* p);
// Past the characters up to the next '{' or the end of the text.
const char* after_text_part(TreeBuilder& b, const char* p);
// Past the closing quote.
const char* close_text(TreeBuilder& b, const char* p);

TextState enter_computed(TreeBuilder& b);
// Past the '}' of a computed part that was opened at `open`.
const char* leave_computed(TreeBuilder& b, const TextState& saved, const char* open, const char* p);

} // namespace fettle
