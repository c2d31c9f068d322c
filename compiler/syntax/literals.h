// Numbers and cones that are written in an unusual way: recognised, reported with a mend, and left
// as an `error` node, so that no later pass stumbles over them again.
#pragma once

#include "compiler/syntax/lexical.h"
#include "compiler/syntax/tree_builder.h"

namespace fettle {

// Is there something about the literal that needs a second look? Must be quick.
inline bool odd_literal(const TreeBuilder& b, const char* p, lexical::Literal found) {
    const char* const after = p + found.length;
    if (found.kind != NodeKind::number)
        return found.kind == NodeKind::version || found.strange;
    if (*p == '0' && found.length > 1 && p[1] != '.')
        return true;
    if (*after == ',')
        return b.brackets == 0 && lexical::digit(after[1]);
    return *after == ' ' && (lexical::class_of(after[1]) & lexical::is_letter);
}
// Past the literal; sets TreeBuilder::literal_kind.
const char* mend_literal(TreeBuilder& b, const char* p, lexical::Literal found);

// A dash that was typed for the minus of a literal: past the literal, or `p`.
const char* dashed_literal_slow(TreeBuilder& b, const char* p);
inline const char* dashed_literal(TreeBuilder& b, const char* p) {
    return static_cast<unsigned char>(*p) == 0xE2 ? dashed_literal_slow(b, p) : p;
}

// "cone 6C", "cone 6," and a digit.
inline bool odd_cone(const char* p, std::uint32_t length) {
    const char* const after = p + length;
    return lexical::inside_word(after) || (*after == ',' && lexical::digit(after[1])) ||
           static_cast<unsigned char>(*after) == 0xC2;
}
const char* mend_cone(TreeBuilder& b, const char* p, std::uint32_t length);

// "cone6" without its space: reported, unless something of that name is declared.
inline bool odd_name(const char* p) {
    return *p == 'c' && p[1] == 'o' && p[2] == 'n' && p[3] == 'e' && lexical::digit(p[4]);
}
void mend_name(TreeBuilder& b, const char* p, const char* after);

} // namespace fettle
