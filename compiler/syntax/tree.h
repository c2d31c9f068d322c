// The syntax tree of one file: plain data in flat arrays, built once by parse.h, never changed.
// A node is 16 bytes; the children of a node stand side by side in `Tree::nodes`.
//
// Every kind has a fixed number and order of children, written beside it; a part that was left out
// (or could not be parsed) is an `absent` (or `error`) node, so that child N always means the same.
// `list` nodes have any number.
#pragma once

#include "compiler/source/span.h"

#include <cstdint>
#include <span>
#include <string_view>
#include <vector>

namespace fettle {

enum class NodeKind : std::uint32_t {
    // --- leaves ---
    absent, // an optional part that is not there
    error,  // something that did not parse, or a literal that was written wrongly ("600 C"); a
            // diagnostic was reported for it. In a block: a statement that was given up
    word,   // a name where it stands: span is the word

    // --- expressions ---
    number,    // 12, 12.5, -3
    quantity,  // 600C, 1h30m, 2600kg/metre3, -5dC, 1.2%: span is the whole literal
    clock,     // 22:30
    cone,      // cone 06, cone 5½: span covers both words
    version,   // 1.2.0 (only in library declarations)
    text,      // [text_part | expression]...: "…" with {…}; flag 1: """…"""
    text_part, // a run of characters inside a text, escapes not yet resolved
    yes,
    no,
    name,         // a name used as an expression
    field_access, // [expression, word]
    call,         // [callee expression, argument...]
    argument,     // [word|absent label, expression]
    list_literal, // [expression...]
    paren,        // [expression]
    negate,       // [expression]
    not_,         // [expression]
    binary,       // [left, right]; flag: BinaryOp
    range,        // [low, high]: A to B
    conditional,  // [value, condition, otherwise]: A when C otherwise B
    within_range, // [x, range]: x within A to B (the range may be any expression of range type)
    within_of,    // [x, tolerance, centre]: x within D of Y
    keeps_rules,  // [firing]: F keeps every rule
    breaks_rule,  // [firing, word]: F breaks RULE

    // --- types ---
    type_name,   // span: Temperature, Body, ...
    type_list,   // [type]: List of T
    type_range,  // [type]: Range of T
    type_choice, // [word...]: one of a, b, c

    // --- declarations; all but use, let, memory, test and library have exactly these five:
    //     [word name, parameters|absent, origin|absent, text title|absent, block|absent]
    //     origin: what stands after `from`, `=` or `->` (see each) ---
    file,      // [declaration...]
    use,       // [path, list of word | absent, word alias | absent]
    path,      // [word...]: a.b.c
    let,       // [word, expression]; also a step and a setting
    function,  // origin: list [type, expression]; no title, no block
    profile,   // flag: ProfileKind; origin: path of the parent
    phase,     // origin absent; parameters only at the top of a file
    template_, // origin absent
    firing,    // origin: call expression of a template, or absent
    rule,
    memory,      // [word, path kiln, block of memory_slot]
    memory_slot, // [number, expression]
    test,        // [text, block]
    library,     // [path, block of field, needs]
    needs,       // [path, number|version, text from|absent]
    private_,    // [declaration]
    parameters,  // [parameter...]
    parameter,   // [word, type, default expression|absent]
    block,       // [statement...]
    list,        // any children

    // --- statements of profiles, ware and library blocks ---
    field,       // [word, value...]: values were separated by commas; a value is an expression
    limit,       // [value, low|absent, high|absent]; flag: LimitKind
    lining,      // [thickness, path]
    shelf,       // [word, difference|absent]
    control,     // [word, type]
    price,       // [expression, clock from|absent, clock to|absent, list of word days|absent]
    start_delay, // [expression]: start_delay up to D
    analysis,    // [ingredient...]
    fires,       // [cone or range, word atmosphere|absent]
    recipe,      // [block of ingredient]
    add,         // [block of ingredient]
    ingredient,  // [path, expression]
    about,       // [text]

    // --- settings of firings and templates ---
    ware,            // [word|absent, block of field]
    load,            // [block of ware]
    start_at,        // [expression]
    start_after,     // [expression]
    require,         // [condition, text|absent]; also a step
    confirm,         // [text, text by|absent]
    allow,           // [path, text|absent]
    accept,          // [block of accept_*]
    accept_peak,     // [tolerance]: peak within D
    accept_duration, // [tolerance]: duration within D
    accept_soak,     // [duration, tolerance]: soak at least D within D of peak
    accept_witness,  // [cone, word shelf|absent]: witness cone N on SHELF
    simplify,        // [expression]

    // --- steps ---
    ramp,      // [target, how, soak duration|absent, waiting|absent]; flag 1: `by` a difference
    cool,      // the same
    at_rate,   // [expression]
    over_time, // [expression]
    at_full,
    freely,
    opened,     // leaves
    soak,       // [duration, waiting difference|absent]
    soak_until, // [expression]
    follow,     // [call or name]
    when,       // [condition, block, block | when | absent]
    repeat,     // [count, block]
    for_each,   // [word, list, block]
    vent,       // [word or paren expression]
    atmosphere, // [word or paren expression]
    set,        // [word, word or expression]
    note,       // [text]
    do_,        // [text]

    // --- rules and tests ---
    level,    // [word]
    applies,  // [expression]
    check,    // [expression]
    because,  // [text]
    remedy,   // [text]
    source,   // [text]
    waivable, // [expression]
    expect,   // [expression]
};

enum class BinaryOp : std::uint8_t {
    or_,
    and_,
    is,
    is_not,
    less,
    less_equal,
    greater,
    greater_equal,
    add,
    subtract,
    multiply,
    divide
};
enum class ProfileKind : std::uint8_t {
    body,
    kiln,
    insulation,
    controller,
    material,
    glaze,
    tariff,
    studio
};
enum class LimitKind : std::uint8_t { rise, fall, peak };

// The printed word of a kind, for messages and dumps ("field_access", "ramp").
std::string_view to_string(NodeKind kind);
std::string_view to_string(BinaryOp op);      // "and", "<=", "+"
std::string_view to_string(ProfileKind kind); // "body"

using NodeId = std::uint32_t;

// A file is at most 16 MiB (language limit), so 24 bits hold every length and every count.
struct Node {
    NodeKind kind : 8 = NodeKind::absent;
    std::uint32_t length : 24 = 0; // bytes
    std::uint32_t flag : 8 = 0;    // see the kind
    std::uint32_t count : 24 = 0;  // number of children
    std::uint32_t begin = 0;       // offset in the file
    std::uint32_t first_child = 0; // index in Tree::nodes
};
static_assert(sizeof(Node) == 16);

class Tree {
  public:
    Tree() = default;
    Tree(FileId of_file, std::string_view source_text, std::vector<Node> made)
        : file(of_file), text(source_text), nodes(made), own_(std::move(made)) {}
    // Views nodes that were made before, of the same text.
    Tree(FileId of_file, std::string_view source_text, std::span<const Node> before)
        : file(of_file), text(source_text), nodes(before) {}
    Tree(Tree&&) = default;
    Tree& operator=(Tree&&) = default;

    FileId file = 0;
    std::string_view text;       // the source; must outlive the tree
    std::span<const Node> nodes; // children before parents; the root is last

    NodeId root() const { return static_cast<NodeId>(nodes.size() - 1); }
    const Node& operator[](NodeId id) const { return nodes[id]; }
    std::uint32_t count(NodeId id) const { return nodes[id].count; }
    NodeId child(NodeId id, std::uint32_t n) const { return nodes[id].first_child + n; }
    bool is(NodeId id, NodeKind kind) const { return nodes[id].kind == kind; }
    bool present(NodeId id) const {
        return nodes[id].kind != NodeKind::absent && nodes[id].kind != NodeKind::error;
    }
    std::string_view source(NodeId id) const {
        return text.substr(nodes[id].begin, nodes[id].length);
    }
    Span span(NodeId id) const {
        return {file, nodes[id].begin, nodes[id].begin + nodes[id].length};
    }

  private:
    std::vector<Node> own_;
};

} // namespace fettle
