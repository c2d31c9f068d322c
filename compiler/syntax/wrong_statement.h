// Lines that are no statement of the block that they stand in, or that go on after their end: what
// they were meant to be, and what to say.
#pragma once

#include "compiler/syntax/block_kinds.h"
#include "compiler/syntax/tree_builder.h"

namespace fettle {

// Is the line at `p` a part of the statement before it, which was given up at `broken`?
bool continues_broken(const TreeBuilder& b, const char* broken, const char* p);
// Skips it without a word.
const char* skip_rest_of_broken(TreeBuilder& b, const char* broken, const char* p);

// The word at `p` starts no statement of such a block. If it is clear which one was meant, reports
// it, sets TreeBuilder::alias, and the statement can be tried again.
bool guess_statement(TreeBuilder& b, BlockKind place, const char* p);
// It is not clear: reports, leaves an error node, and skips.
const char* unknown_statement(TreeBuilder& b, BlockKind place, const char* p);
// The statement is complete, but something follows on its line.
const char* left_over(TreeBuilder& b, BlockKind place, const char* p);

} // namespace fettle
