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

// Past the blanks behind a closing bracket that ends at `p`.
inline const char* past_close(const TreeBuilder& b, const char* p) {
    return b.brackets != 0 ? lexical::skip_gap(p) : lexical::skip_blank(p);
}

// Past the '}' that matches a '{' just before `p`.
const char* skip_block(const TreeBuilder& b, const char* p);

// Does the line that goes on at `p` read as the start of a new statement?
bool starts_statement(const char* p);
// `p` is at a line end and an operand is still to come: past blank lines and comments, unless a new
// statement starts there; then the operand was forgotten, and `p` stays.
const char* past_lines_to_operand(const char* p);

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
// The word at `p` starts no statement of such a block. If it is clear which one was meant, reports
// it, sets TreeBuilder::alias, and the statement can be tried again.
bool guess_statement(TreeBuilder& b, BlockKind place, const char* p);
// It is not clear: reports, leaves an error node, and skips.
const char* unknown_statement(TreeBuilder& b, BlockKind place, const char* p);
// The statement is complete, but something follows on its line.
const char* left_over(TreeBuilder& b, BlockKind place, const char* p);

// --- blocks ---

bool ends_block_slow(TreeBuilder& b, BlockKind place, const char* p);
// Is the statement at `p` one that cannot be meant to stand in the block, so that its '}' is
// missing? A declaration at the margin, or a phase among steps.
inline bool ends_block(TreeBuilder& b, BlockKind place, const char* p) {
    if (p[-1] != '\n' && !(*p == 'p' && place == BlockKind::steps))
        return false;
    return ends_block_slow(b, place, p);
}
// The '{' is missing: reports it, and says whether the lines from `p` on are the block's.
bool opens_without_brace(TreeBuilder& b, BlockKind place, const char* p);
// False where it is too deep; then it is to be skipped. leave_block is due in any case.
bool enter_block(TreeBuilder& b, const char* brace, const char* owner);
// Past the '}' at `p`; where there is none, reports it.
const char* leave_block(TreeBuilder& b, const char* p);
// A '}' at the level of the file.
const char* stray_brace(TreeBuilder& b, const char* p);

} // namespace fettle
