// What the grammar's actions build on: a stack of finished nodes that wait for their parent, and
// what the recovery from mistakes has to remember. Knows nothing of PEGTL.
#pragma once

#include "compiler/source/diagnostic.h"
#include "compiler/syntax/block_kinds.h"
#include "compiler/syntax/lexical.h"
#include "compiler/syntax/tree.h"

#include <cstdint>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace fettle {

// Language limit; blocks, brackets and nested operators count together.
inline constexpr int nesting_limit = 64;
// Messages about one file; who gets that many has another problem.
inline constexpr int message_limit = 3000;
// Operators in a row on one path through an expression: they nest in the tree, though not in the
// text, and the passes that walk the tree are recursive.
inline constexpr int operator_limit = 500;

struct OpenBlock {
    const char* brace; // the '{'
    const char* owner; // the first word of the statement that it belongs to
    BlockKind place;
    bool indented; // its first statement stands in from the margin
};

class TreeBuilder {
  public:
    TreeBuilder(FileId file_id, std::string_view source, Diagnostics& sink);

    // --- nodes ---
    void push(NodeKind kind, const char* from, const char* to, std::uint8_t node_flag = 0) {
        Node node;
        node.kind = kind;
        node.begin = static_cast<std::uint32_t>(from - begin);
        const auto length = static_cast<std::uint32_t>(to - from);
        node.length = length < 0xFFFFFFU ? length : 0xFFFFFFU; // a file of exactly 16 MiB
        node.flag = node_flag;
        stack.push_back(node);
    }
    void push_absent() { push(NodeKind::absent, token_end, token_end); }
    void push_error(const char* from, const char* to) { push(NodeKind::error, from, to); }

    // Gives all that is on the stack above `height` one parent, which takes their place.
    void reduce(NodeKind kind, std::uint8_t node_flag, std::size_t height, const char* from,
                const char* to) {
        const std::size_t count = stack.size() - height;
        const std::size_t first = nodes.size();
        nodes.insert(nodes.end(), stack.end() - static_cast<std::ptrdiff_t>(count), stack.end());
        stack.resize(height);
        push(kind, from, to, node_flag);
        stack.back().count = static_cast<std::uint32_t>(count);
        stack.back().first_child = static_cast<std::uint32_t>(first);
    }
    void truncate(std::size_t height, std::size_t node_count) {
        stack.resize(height);
        nodes.resize(node_count);
    }

    // --- diagnostics ---
    Span span(const char* from, const char* to) const {
        return {file, static_cast<std::uint32_t>(from - begin),
                static_cast<std::uint32_t>(to - begin)};
    }
    // Goes to `unheard` while `quiet`, or when there are too many.
    Diagnostic& report(DiagnosticKind kind, const char* from, const char* to, std::string message);

    FileId file;
    const char* begin;
    const char* end;       // at the zero byte
    const char* token_end; // of the last token, before the blanks behind it
    Diagnostics& diagnostics;
    Diagnostic unheard; // the last one that is not reported
    int reported = 0;

    std::vector<Node> stack;
    std::vector<Node> nodes;

    // --- where the grammar is ---
    NodeKind literal_kind = NodeKind::number; // of the literal just matched
    std::uint8_t flag = 0;                    // of the word just matched: a kind of profile, limit
    bool by_difference = false;               // the target just read: `by 20dC`
    const char* text_end = nullptr;           // of a text whose end was found beforehand
    bool long_text = false;                   // """..."""
    bool in_text = false;                     // inside { } of a text
    int brackets = 0;                         // open ( and [: line ends mean nothing
    int depth = 0;
    int operators = 0; // in a row, see operator_limit

    // --- recovery ---
    bool panic = false;  // a mistake was reported; what is left of the statement was skipped
    bool header = false; // the statement has a block: skip only as far as its '{'
    bool block_required = false; // where a block is tried, it can't be left out
    bool quiet = false;       // inside a statement that was guessed: its mistakes would be echoes
    bool after_block = false; // the statement ended with the '}' of its block
    bool missing_brace_told = false; // until the next closed block: one '}' missing, one message
    const char* broken = nullptr;    // the statement before this one, if it was given up
    const char* statement = nullptr; // first byte of the statement
    const char* alias_at = nullptr;  // a misspelt word here ...
    std::string_view alias;          // ... stands for this
    std::vector<OpenBlock> blocks;
    const char* wrong_close = nullptr;   // a ')' or ']' that was read as '}'
    const char* suspect_brace = nullptr; // the block that the last out-dented '}' closed ...
    const char* suspect_close = nullptr; // ... which is this one
    // What looking far ahead may still cost, in bytes, so that no file takes quadratic time.
    std::int64_t looks_ahead = std::int64_t{64} << 20;
    std::vector<std::pair<std::string_view, bool>> names_looked_up; // is it declared in this file?
    const char* bracket_told = nullptr;   // end of the token behind which a bracket is missing
    const char* commas_told_in = nullptr; // the block whose separating commas were reported
    const char* loose_steps_in = nullptr; // the block whose steps without a phase were reported
    int strays_told = 0; // closing braces that follow from a mistake already reported
    bool braces_counted = false;
    int missing_braces = 0; // of the file, not yet accounted for; once they are counted
};

} // namespace fettle
