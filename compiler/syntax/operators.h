// Operators where the grammar looks for them, and the signs that are typed for them by mistake
// (`==`, `&&`, a dash for a minus). Those are reported with a mend and read as what was meant.
// A length of 0 means that no such operator stands at `p`.
#pragma once

#include "compiler/syntax/lexical.h"
#include "compiler/syntax/tree_builder.h"

namespace fettle {

std::uint32_t dash_at(TreeBuilder& b, const char* p); // – or − for -
inline std::uint32_t minus_at(TreeBuilder& b, const char* p) {
    if (*p == '-')
        return p[1] == '>' ? 0 : 1;
    return static_cast<unsigned char>(*p) == 0xE2 ? dash_at(b, p) : 0;
}

std::uint32_t comparison_sign_at(TreeBuilder& b, const char* p, BinaryOp& op);
inline bool comparison_ahead(const char* p) {
    switch (*p) {
    case '<':
    case '>':
    case '=':
    case '!':
    case 'i':
    case 'w':
    case 'k':
    case 'b':
    case '\xE2': return true;
    default: return false;
    }
}
// `is`, `is not`, `<`, `<=`, `>`, `>=`.
inline std::uint32_t comparison_at(TreeBuilder& b, const char* p, BinaryOp& op) {
    return comparison_ahead(p) ? comparison_sign_at(b, p, op) : 0;
}

std::uint32_t logical_sign_at(TreeBuilder& b, const char* p, BinaryOp op);
inline std::uint32_t logical_at(TreeBuilder& b, const char* p, BinaryOp op) {
    const bool may_be = op == BinaryOp::and_ ? *p == 'a' || *p == '&' : *p == 'o' || *p == '|';
    return may_be ? logical_sign_at(b, p, op) : 0;
}

std::uint32_t not_sign_at(TreeBuilder& b, const char* p);
inline std::uint32_t not_at_word(TreeBuilder& b, const char* p) {
    return *p == 'n' || *p == '!' ? not_sign_at(b, p) : 0;
}

// An operator looser than a sum stands at `p`.
bool loose_operator_at(const char* p);
inline bool loose_ahead(const char* p) {
    switch (*p) {
    case '<':
    case '>':
    case '=':
    case '!':
    case 'i':
    case 'a':
    case 'o':
    case 'w':
    case '&':
    case '|': return loose_operator_at(p);
    default: return false;
    }
}

// `otherwise`, or `else` for it.
std::uint32_t otherwise_at(TreeBuilder& b, const char* p);

// `for` before a time ("soak for 20m"), where none is needed: past it, or `p`.
const char* needless_for_slow(TreeBuilder& b, const char* p);
inline const char* needless_for(TreeBuilder& b, const char* p) {
    return *p == 'f' ? needless_for_slow(b, p) : p;
}

// `name:` (any word may be an argument's label).
bool label_at(const char* p);

// Does another entry of a list start at `p`, with a label or on a line of its own?
bool entry_ahead(const TreeBuilder& b, const char* p);

// A comma and a word behind it that is not the name of the next parameter.
bool next_choice_at(const TreeBuilder& b, const char* p);

// A word and then the end of the statement.
bool lone_word_at(const char* p);

// `body`, `kiln` or `glaze` where a firing names its own; sets nothing.
std::uint32_t slot_word_at(const TreeBuilder& b, const char* p);

} // namespace fettle
