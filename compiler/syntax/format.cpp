#include "compiler/syntax/format.h"

#include "compiler/source/characters.h"
#include "compiler/syntax/lexical.h"

#include <algorithm>
#include <array>
#include <string>
#include <string_view>
#include <vector>

// The tokens of the source are printed again, one by one, so that none can be lost; the tree says
// only where statements and blocks are, and what a sign means. Comments and the author's line ends
// are found in the gaps between tokens.

namespace fettle {
namespace {

constexpr int indent_step = 4;
constexpr std::size_t widest_line = 100; // a block on one line is no longer than this

struct Line {
    int indent = 0;
    std::string text;
    std::string comment;        // behind the text, or alone
    bool blank_before = false;  // one line is left blank
    std::size_t first_word = 0; // length of what stands left of the column; 0: not aligned
};

enum Mark : std::uint8_t { unary = 1, tight = 2 }; // a sign before its operand; a call's bracket

// Something that is printed as it stands, whatever is in it: a literal, a text.
struct Atom {
    const char* begin;
    const char* end;
    NodeKind kind;
};

struct Token {
    const char* begin = nullptr;
    const char* end = nullptr;
    NodeKind kind = NodeKind::word; // or that of the atom
    std::string_view text() const { return {begin, static_cast<std::size_t>(end - begin)}; }
    bool is(char c) const { return end == begin + 1 && *begin == c; }
};

struct Gap {
    std::vector<std::string_view> own_line; // comments on lines of their own
    std::string_view trailing;              // the comment behind what stands before
    bool line_end = false;
    bool blank_line = false;        // before the next token
    std::vector<bool> blank_before; // for each of `own_line`
};

bool is_number(NodeKind kind) {
    return kind == NodeKind::number || kind == NodeKind::quantity;
}

class Printer {
  public:
    explicit Printer(const Tree& tree) : tree_(tree), marks_(tree.text.size() + 1) {
        collect(tree.root());
        std::sort(atoms_.begin(), atoms_.end(),
                  [](const Atom& a, const Atom& b) { return a.begin < b.begin; });
    }

    std::string print() {
        const char* begin = text();
        if (tree_.text.substr(0, 3) == "\xEF\xBB\xBF")
            begin += 3;
        print_items(tree_.root(), begin, text() + tree_.text.size(), 0, false);
        return joined();
    }

  private:
    const char* text() const { return tree_.text.data(); }
    const char* begin_of(NodeId id) const { return text() + tree_[id].begin; }
    const char* end_of(NodeId id) const { return begin_of(id) + tree_[id].length; }

    // --- what the tree knows ---

    void collect(NodeId id) {
        const Node& node = tree_[id];
        switch (node.kind) {
        case NodeKind::number:
        case NodeKind::quantity:
        case NodeKind::clock:
        case NodeKind::cone:
        case NodeKind::version:
        case NodeKind::text: atoms_.push_back({begin_of(id), end_of(id), node.kind}); return;
        case NodeKind::negate: marks_[node.begin] |= unary; break;
        case NodeKind::parameters: marks_[node.begin] |= tight; break;
        case NodeKind::call: {
            const char* const open = lexical::skip_spaces(end_of(tree_.child(id, 0)));
            marks_[static_cast<std::size_t>(open - text())] |= tight;
            break;
        }
        default: break;
        }
        for (std::uint32_t i = 0; i < node.count; ++i)
            collect(tree_.child(id, i));
    }

    // The blocks of a statement, not those inside its blocks, in order.
    void blocks_of(NodeId id, std::vector<NodeId>& out) const {
        for (std::uint32_t i = 0; i < tree_.count(id); ++i) {
            const NodeId child = tree_.child(id, i);
            if (tree_.is(child, NodeKind::block)) {
                out.push_back(child);
            } else {
                blocks_of(child, out);
            }
        }
    }

    // --- tokens and gaps ---

    Token token_at(const char* p) const {
        const auto atom =
            std::lower_bound(atoms_.begin(), atoms_.end(), p,
                             [](const Atom& a, const char* place) { return a.begin < place; });
        if (atom != atoms_.end() && atom->begin == p)
            return {p, atom->end, atom->kind};
        if (const char* const after = lexical::after_word(p); after != p)
            return {p, after};
        for (const std::string_view sign : {"<=", ">=", "->"}) {
            if (*p == sign[0] && p[1] == sign[1])
                return {p, p + 2};
        }
        return {p, p + 1};
    }

    // The gap from `p` to the next token; moves `p` there. Semicolons between statements are part
    // of it.
    static Gap gap_at(const char*& p, const char* end, bool at_line_start = false) {
        Gap gap;
        gap.line_end = at_line_start;
        bool blank = false;
        for (;;) {
            p = lexical::skip_spaces(p);
            if (p >= end)
                break;
            if (*p == '\n') {
                blank = blank || gap.line_end;
                gap.line_end = true;
                ++p;
            } else if (*p == ';') {
                ++p;
            } else if (*p == '#') {
                const char* const comment = p;
                p = lexical::to_line_end(p);
                const char* last = p;
                while (last > comment && (lexical::class_of(last[-1]) & lexical::is_blank))
                    --last;
                const std::string_view said(comment, static_cast<std::size_t>(last - comment));
                if (gap.line_end) {
                    gap.own_line.push_back(said);
                    gap.blank_before.push_back(blank);
                    // The line end of the comment itself makes no blank line.
                    if (*p == '\n')
                        ++p;
                } else {
                    gap.trailing = said;
                }
                blank = false;
            } else {
                break;
            }
        }
        gap.blank_line = blank;
        p = std::min(p, end);
        return gap;
    }

    // --- lines ---

    Line& line() { return lines_.back(); }
    void start_line(int indent, bool blank_before = false) {
        lines_.push_back({indent, {}, {}, blank_before, 0});
    }

    void print_comments(const Gap& gap, int indent, bool blank_allowed) {
        if (!gap.trailing.empty()) {
            if (lines_.empty())
                start_line(indent);
            line().comment = gap.trailing;
        }
        for (std::size_t i = 0; i < gap.own_line.size(); ++i) {
            start_line(indent, gap.blank_before[i] && (blank_allowed || i > 0));
            line().comment = gap.own_line[i];
        }
    }

    bool space_between(const Token& before, const Token& next) const {
        if (before.is('(') || before.is('[') || before.is('.'))
            return false;
        if (next.is(')') || next.is(']') || next.is(',') || next.is(':') || next.is('.')) {
            return false;
        }
        if (next.is('(') && (marks_[offset(next)] & tight))
            return false;
        if (before.is('-') && (marks_[offset(before)] & unary))
            return is_number(next.kind);
        return true;
    }
    std::size_t offset(const Token& token) const {
        return static_cast<std::size_t>(token.begin - text());
    }

    static void append(std::string& out, const Token& token) {
        if (token.kind != NodeKind::cone) {
            out += token.text();
            return;
        }
        out += "cone ";
        out.append(lexical::skip_spaces(token.begin + 4), token.end);
    }

    // --- statements ---

    // The statements (or declarations) of `id` and the comments between them.
    void print_items(NodeId id, const char* from, const char* to, int indent, bool align) {
        const char* p = from;
        bool first = true;
        std::size_t own_lines = lines_.size();
        for (std::uint32_t i = 0; i < tree_.count(id); ++i) {
            const NodeId item = tree_.child(id, i);
            const Gap gap = gap_at(p, begin_of(item), first && tree_.is(id, NodeKind::file));
            print_comments(gap, indent, !first);
            start_line(indent, gap.blank_line && !(first && gap.own_line.empty()));
            const std::size_t line_before = lines_.size();
            print_statement(item, indent);
            if (align && lines_.size() == line_before) {
                line().first_word = first_word_of(item);
            }
            p = end_of(item);
            first = false;
        }
        const Gap gap = gap_at(p, to, first && tree_.is(id, NodeKind::file));
        print_comments(gap, indent, !first);
        if (align)
            align_lines(own_lines, indent);
    }

    // A statement without a block that fits on its line has its values in a column.
    std::size_t first_word_of(NodeId item) const {
        std::vector<NodeId> blocks;
        blocks_of(item, blocks);
        if (!blocks.empty())
            return 0;
        const bool path = tree_.is(item, NodeKind::ingredient);
        const char* const end =
            path ? end_of(tree_.child(item, 0)) : lexical::after_word(begin_of(item));
        return static_cast<std::size_t>(end - begin_of(item));
    }

    // Lines in a run: without a blank line between them, and none of them more than one line.
    void align_lines(std::size_t from, int indent) {
        const auto in_run = [&](const Line& l) {
            return l.indent == indent && (l.first_word != 0 || l.text.empty());
        };
        for (std::size_t i = from; i < lines_.size(); ++i) {
            std::size_t width = 0;
            std::size_t end = i;
            for (; end < lines_.size() && in_run(lines_[end]); ++end) {
                if (end != i && lines_[end].blank_before)
                    break;
                const Line& l = lines_[end];
                width = std::max(width, display_width({l.text.data(), l.first_word}));
            }
            for (std::size_t k = i; k < end; ++k)
                pad(lines_[k], width);
            if (end > i)
                i = end - 1;
        }
    }
    static void pad(Line& l, std::size_t width) {
        if (l.first_word == 0 || l.first_word >= l.text.size())
            return;
        const std::size_t have = display_width({l.text.data(), l.first_word});
        l.text.insert(l.first_word, width - have, ' ');
    }

    void print_statement(NodeId id, int indent) {
        std::vector<NodeId> blocks;
        blocks_of(id, blocks);
        std::size_t next_block = 0;
        const char* p = begin_of(id);
        const char* const end = end_of(id);
        Token before;
        int brackets = 0;
        bool broken = false; // the line goes on one before it, outside of brackets
        while (p < end) {
            const bool at_block = next_block < blocks.size() && begin_of(blocks[next_block]) == p;
            if (at_block) {
                const NodeId block = blocks[next_block++];
                print_block(block, indent, broken);
                p = end_of(block);
                before = {p - 1, p, NodeKind::word};
                broken = false;
            } else {
                const Token token = token_at(p);
                if (token.is(')') || token.is(']'))
                    --brackets;
                if (!line().text.empty() && before.begin != nullptr &&
                    space_between(before, token)) {
                    line().text += ' ';
                }
                append(line().text, token);
                if (token.is('(') || token.is('['))
                    ++brackets;
                before = token;
                p = token.end;
            }
            const Gap gap = p < end ? gap_at(p, end) : Gap{};
            if (p >= end)
                break;
            const bool block_next = next_block < blocks.size() && begin_of(blocks[next_block]) == p;
            const bool comments = !gap.trailing.empty() || !gap.own_line.empty();
            if (!gap.line_end || (!comments && (block_next || before.is('}')))) {
                if (block_next && broken)
                    start_line(indent);
                continue;
            }
            const bool closes = *p == ')' || *p == ']';
            const int depth = closes ? brackets - 1 : std::max(brackets, 1);
            const int deeper = block_next || before.is('}') ? 0 : depth;
            const bool between = before.is('}'); // the parts of a statement
            print_comments(gap, indent + indent_step * (between ? 0 : std::max(deeper, 1)), false);
            start_line(indent + indent_step * deeper);
            broken = brackets == 0 && !block_next && !between;
        }
    }

    // --- blocks ---

    void print_block(NodeId block, int indent, bool broken) {
        if (broken && !line().text.empty())
            start_line(indent);
        const char* const inside = begin_of(block) + 1;
        const char* const close = end_of(block) - 1;
        if (!line().text.empty())
            line().text += ' ';
        if (std::find(inside, close, '\n') == close) {
            const std::string short_form = block_on_one_line(block);
            const std::size_t width = static_cast<std::size_t>(line().indent) +
                                      display_width(line().text) + display_width(short_form);
            if (width <= widest_line) {
                line().text += short_form;
                return;
            }
        }
        line().text += '{';
        const std::size_t opening = lines_.size();
        print_items(block, inside, close, indent + indent_step, holds_columns(block));
        if (lines_.size() == opening && line().comment.empty()) {
            line().text += '}';
            return;
        }
        start_line(indent);
        line().text = "}";
    }

    bool holds_columns(NodeId block) const {
        constexpr std::array with_columns = {
            NodeKind::field,    NodeKind::limit,      NodeKind::lining,      NodeKind::shelf,
            NodeKind::control,  NodeKind::price,      NodeKind::start_delay, NodeKind::analysis,
            NodeKind::fires,    NodeKind::ingredient, NodeKind::level,       NodeKind::applies,
            NodeKind::check,    NodeKind::because,    NodeKind::remedy,      NodeKind::source,
            NodeKind::waivable, NodeKind::needs};
        // In a firing, a field is one setting among others.
        bool others = false;
        bool any = false;
        for (std::uint32_t i = 0; i < tree_.count(block); ++i) {
            const NodeKind kind = tree_[tree_.child(block, i)].kind;
            const bool column =
                std::find(with_columns.begin(), with_columns.end(), kind) != with_columns.end();
            any = any || column;
            others = others || (!column && kind != NodeKind::about && kind != NodeKind::recipe &&
                                kind != NodeKind::add);
        }
        return any && !others;
    }

    std::string block_on_one_line(NodeId block) const {
        std::string out = "{";
        for (std::uint32_t i = 0; i < tree_.count(block); ++i) {
            out += i == 0 ? " " : "; ";
            append_on_one_line(tree_.child(block, i), out);
        }
        return out + (tree_.count(block) == 0 ? "}" : " }");
    }

    void append_on_one_line(NodeId id, std::string& out) const {
        std::vector<NodeId> blocks;
        blocks_of(id, blocks);
        std::size_t next_block = 0;
        const char* p = begin_of(id);
        Token before;
        while (p < end_of(id)) {
            if (next_block < blocks.size() && begin_of(blocks[next_block]) == p) {
                const NodeId inner = blocks[next_block++];
                out += ' ';
                out += block_on_one_line(inner);
                p = end_of(inner);
                before = {p - 1, p, NodeKind::word};
            } else {
                const Token token = token_at(p);
                if (before.begin != nullptr && space_between(before, token))
                    out += ' ';
                append(out, token);
                before = token;
                p = token.end;
            }
            p = lexical::skip_spaces(p);
        }
    }

    // --- the end ---

    // Comments behind neighbouring lines start in one column.
    std::size_t comment_column(std::size_t first, std::size_t& end) const {
        std::size_t width = 0;
        for (end = first; end < lines_.size(); ++end) {
            const Line& l = lines_[end];
            if (l.comment.empty() || l.text.empty() || l.indent != lines_[first].indent ||
                (end != first && l.blank_before) || l.text.find('\n') != std::string::npos) {
                break;
            }
            width = std::max(width, display_width(l.text));
        }
        return width;
    }

    std::string joined() const {
        std::string out;
        out.reserve(tree_.text.size());
        std::size_t run_end = 0;
        std::size_t width = 0;
        for (std::size_t i = 0; i < lines_.size(); ++i) {
            const Line& l = lines_[i];
            if (l.text.empty() && l.comment.empty())
                continue;
            if (l.blank_before && !out.empty())
                out += '\n';
            out.append(static_cast<std::size_t>(l.indent), ' ');
            out += l.text;
            if (!l.text.empty() && !l.comment.empty()) {
                if (i >= run_end) {
                    width = comment_column(i, run_end);
                    run_end = std::max(run_end, i + 1);
                }
                const std::size_t have = display_width(l.text);
                out.append(have < width ? width - have + 2 : 2, ' ');
            }
            out += l.comment;
            out += '\n';
        }
        return out;
    }

    const Tree& tree_;
    std::vector<std::uint8_t> marks_;
    std::vector<Atom> atoms_;
    std::vector<Line> lines_;
};

} // namespace

std::string format(const Tree& tree) {
    return Printer(tree).print();
}

} // namespace fettle
