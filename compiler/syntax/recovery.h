// How the parse goes on after a mistake: where a broken statement ends, which block a lost brace
// belongs to, what an unknown word was meant to be. The aim is one message for one mistake, and a
// tree of all the rest.
#pragma once

#include "compiler/syntax/block_kinds.h"
#include "compiler/syntax/tree_builder.h"

namespace fettle {

// Where the statement that broke at `p` ends: at a line end, ';', '}' or the end of the text; at
// the '{' of its block while TreeBuilder::header; inside a computed part of a text at its '}'.
const char* skip_to_end_of_statement(TreeBuilder& b, const char* p);

// Past the '}' that matches a '{' just before `p`.
const char* skip_block(const TreeBuilder& b, const char* p);

// A word that goes on an expression or a statement, so that it cannot be an operand.
bool goes_on_with(std::string_view word);

// Does the line that goes on at `p` read as the start of a new statement?
bool starts_statement(const char* p);
// `p` is at a line end and an operand is still to come: past blank lines and comments, unless a new
// statement starts there; then the operand was forgotten, and `p` stays.
const char* past_lines_to_operand(const char* p);
// The same inside brackets, where such a line goes on all the same if it closes them.
const char* past_lines_in_brackets(const char* p);

// Past the blanks behind a closing bracket that ends at `p`.
inline const char* past_close(const TreeBuilder& b, const char* p) {
    return b.brackets != 0 ? past_lines_in_brackets(lexical::skip_blank(p))
                           : lexical::skip_blank(p);
}

// The first line from `p` on that starts with a declaration's word at the margin, or the end.
const char* next_declaration(const TreeBuilder& b, const char* p);

// --- statements ---

inline void begin_statement(TreeBuilder& b, const char* p) {
    b.statement = p;
    b.panic = false;
    b.after_block = false;
    b.missing_brace_told = false;
    b.operators = 0;
    b.brackets = 0;
}

// How many '{' of the file have no '}'; less than 0: how many '}' have no '{'. Those that a message
// was about no longer count.
int missing_braces(TreeBuilder& b);

// The blanks at the start of the line of `p`; a tab counts as four.
std::ptrdiff_t indent(const TreeBuilder& b, const char* p);
bool first_on_line(const TreeBuilder& b, const char* p);

// --- blocks ---

bool ends_block_slow(TreeBuilder& b, BlockKind place, const char* p);
// Is the statement at `p` one that cannot be meant to stand in the block, so that its '}' is
// missing? A declaration at the margin, or a phase among steps.
inline bool ends_block(TreeBuilder& b, BlockKind place, const char* p) {
    if (p[-1] != '\n' && !(*p == 'p' && place == BlockKind::steps) && *p != ')' && *p != ']' &&
        !is_inner_block(place)) {
        return false;
    }
    return ends_block_slow(b, place, p);
}
// The '{' is missing at `p`: where the statements of the block start all the same, or null. Reports
// it, if nothing was reported before.
const char* start_without_brace(TreeBuilder& b, BlockKind place, const char* p);
// Does what stands at `p` or on the lines below read as the block of the statement, though its '{'
// is missing?
bool means_a_block(TreeBuilder& b, const char* p);
// False where it is too deep; then it is to be skipped. leave_block is due in any case.
bool enter_block(TreeBuilder& b, BlockKind place, const char* brace, const char* owner);
// Past the '}' at `p`; where there is none, reports it.
const char* leave_block(TreeBuilder& b, const char* p);
// A '}' at the level of the file.
const char* stray_brace(TreeBuilder& b, const char* p);

} // namespace fettle
