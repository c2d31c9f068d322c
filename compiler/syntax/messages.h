// What is said about a part that is missing or out of place in the grammar. The rules say which
// part it is; the words are all here.
#pragma once

#include "compiler/syntax/tree_builder.h"

namespace fettle {

// A part that a rule needs, named after what it is for.
enum class Missing : std::uint8_t {
#define FETTLE_MISSING(name, kind, what, example) name,
#include "compiler/syntax/missing.def"
#undef FETTLE_MISSING
};

// Reports that `what` does not stand at `p`. Gives where to go on as if it had been there, or null
// where the statement is lost from here.
const char* report_missing(TreeBuilder& b, Missing what, const char* p);

// A call at `p` where `=` should be: reported, and true.
bool call_without_sign(TreeBuilder& b, const char* p);

// The word at `p` is the same as the one before it ("ramp ramp to 600C"): reported, and true.
bool told_twice(TreeBuilder& b, const char* p);

void report_nesting(TreeBuilder& b, const char* p);
void report_operators(TreeBuilder& b, const char* p);
// `a < b < c`: `first` is the comparison before, the second sign stands at `p`.
void report_comparison_chain(TreeBuilder& b, const Node& first, const char* p);
// From `from` to the last token there is more than a sum; gives where to go on.
const char* report_loose(TreeBuilder& b, const char* from, const char* p);
// The next entry of a list starts at `p` without a comma before it: reported, and true.
bool forgotten_comma(TreeBuilder& b, const char* p);
// '=' or ':' behind a field's word; gives where its value starts.
const char* needless_sign(TreeBuilder& b, const char* p);
// There is no `close` at `p` for the bracket at `open`. Gives where to go on; in panic if that is
// at the end of the statement.
const char* unclosed_bracket(TreeBuilder& b, const char* open, char close, const char* p);

// The word, number or sign at `p`, for a message; "the end of the line" has none and is empty.
std::string_view token_at(const char* p);

} // namespace fettle
