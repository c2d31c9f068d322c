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
    return *after == ' ' &&
           (lexical::class_of(after[1]) & (lexical::is_letter | lexical::is_digit));
}
// Past the literal; sets TreeBuilder::literal_kind.
const char* mend_literal(TreeBuilder& b, const char* p, lexical::Literal found);

// A literal with an unusual sign in front, a dash for a minus or "^6" for a cone: past it, or `p`.
const char* marked_literal_slow(TreeBuilder& b, const char* p);
inline const char* marked_literal(TreeBuilder& b, const char* p) {
    return *p == '^' || (lexical::class_of(*p) & lexical::is_high) ? marked_literal_slow(b, p) : p;
}

// "cone 6C", "cone 6," and a digit.
inline bool odd_cone(const char* p, std::uint32_t length) {
    const char* const after = p + length;
    return lexical::inside_word(after) || (*after == ',' && lexical::digit(after[1])) ||
           static_cast<unsigned char>(*after) == 0xC2;
}
const char* mend_cone(TreeBuilder& b, const char* p, std::uint32_t length);

// "cone6" and "cone-6" without their space, "Cone 6": reported, unless something of that name is
// declared. Gives where to go on.
inline bool odd_name(const char* p, const char* after) {
    if (*p == 'c')
        return p[1] == 'o' && p[2] == 'n' && p[3] == 'e' &&
               (lexical::digit(p[4]) || (p[4] == '-' && lexical::digit(p[5])));
    return *p == 'C' && after == p + 4 && *after == ' ';
}
const char* mend_name(TreeBuilder& b, const char* p, const char* after);

} // namespace fettle
