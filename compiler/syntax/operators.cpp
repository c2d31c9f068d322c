#include "compiler/syntax/operators.h"

#include <algorithm>
#include <fmt/format.h>
#include <string_view>

namespace fettle {
namespace {

bool word_is(const char* p, std::string_view word) {
    return lexical::starts(p, word) && !lexical::inside_word(p + word.size());
}

// Reports that `wrong` at `p` is written `right`; gives its length.
std::uint32_t read_as(TreeBuilder& b, const char* p, std::string_view wrong,
                      std::string_view right) {
    const char* const after = p + wrong.size();
    b.report(DiagnosticKind::unusual_sign, p, after,
             fmt::format("`{}` is written `{}` here", wrong, right))
        .mend(fmt::format("write `{}`", right), b.span(p, after), std::string(right));
    return static_cast<std::uint32_t>(wrong.size());
}

// A sign that is read as a word, which needs a space where none is: "a&&b".
std::uint32_t read_as_word(TreeBuilder& b, const char* p, std::string_view wrong,
                           std::string_view right) {
    const char* const after = p + wrong.size();
    const bool glued_before = p > b.begin && p == b.token_end;
    const bool glued_behind = lexical::inside_word(after) || *after == '(' || *after == '"';
    b.report(DiagnosticKind::unusual_sign, p, after,
             fmt::format("`{}` is written `{}` here", wrong, right))
        .mend(fmt::format("write `{}`", right), b.span(p, after),
              fmt::format("{}{}{}", glued_before ? " " : "", right, glued_behind ? " " : ""));
    return static_cast<std::uint32_t>(wrong.size());
}

} // namespace

std::uint32_t dash_at(TreeBuilder& b, const char* p) {
    for (const std::string_view dash : {"–", "−", "—", "‐", "‑"}) {
        if (lexical::starts(p, dash))
            return read_as(b, p, dash, "-");
    }
    return 0;
}

std::uint32_t comparison_sign_at(TreeBuilder& b, const char* p, BinaryOp& op) {
    const auto is = [&](BinaryOp found, std::uint32_t length) {
        op = found;
        return length;
    };
    switch (*p) {
    case '<':
        if (p[1] == '>')
            return is(BinaryOp::is_not, read_as_word(b, p, "<>", "is not"));
        return p[1] == '=' ? is(BinaryOp::less_equal, 2) : is(BinaryOp::less, 1);
    case '>': return p[1] == '=' ? is(BinaryOp::greater_equal, 2) : is(BinaryOp::greater, 1);
    case '=':
        if (p[1] == '<')
            return is(BinaryOp::less_equal, read_as(b, p, "=<", "<="));
        if (p[1] == '>')
            return is(BinaryOp::greater_equal, read_as(b, p, "=>", ">="));
        return is(BinaryOp::is, read_as_word(b, p, p[1] == '=' ? "==" : "=", "is"));
    case '!': return p[1] == '=' ? is(BinaryOp::is_not, read_as_word(b, p, "!=", "is not")) : 0;
    case 'i': {
        if (!word_is(p, "is"))
            return 0;
        const char* const second = lexical::skip_spaces(p + 2);
        if (!word_is(second, "not"))
            return is(BinaryOp::is, 2);
        return is(BinaryOp::is_not, static_cast<std::uint32_t>(second + 3 - p));
    }
    case '\xE2':
        if (lexical::starts(p, "≤"))
            return is(BinaryOp::less_equal, read_as(b, p, "≤", "<="));
        if (lexical::starts(p, "≥"))
            return is(BinaryOp::greater_equal, read_as(b, p, "≥", ">="));
        if (lexical::starts(p, "≠"))
            return is(BinaryOp::is_not, read_as_word(b, p, "≠", "is not"));
        return 0;
    default: return 0;
    }
}

std::uint32_t logical_sign_at(TreeBuilder& b, const char* p, BinaryOp op) {
    const bool and_ = op == BinaryOp::and_;
    if (word_is(p, to_string(op)))
        return and_ ? 3 : 2;
    const std::string_view doubled = and_ ? "&&" : "||";
    if (lexical::starts(p, doubled))
        return read_as_word(b, p, doubled, to_string(op));
    if (*p == doubled.front())
        return read_as_word(b, p, doubled.substr(1), to_string(op));
    return 0;
}

std::uint32_t not_sign_at(TreeBuilder& b, const char* p) {
    if (word_is(p, "not"))
        return 3;
    return *p == '!' && p[1] != '=' ? read_as_word(b, p, "!", "not") : 0;
}

bool loose_operator_at(const char* p) {
    for (const std::string_view word : {"when", "is", "and", "or"}) {
        if (word_is(p, word))
            return true;
    }
    return *p == '<' || *p == '>' || *p == '=' || lexical::starts(p, "!=") || *p == '&' ||
           *p == '|';
}

std::uint32_t otherwise_at(TreeBuilder& b, const char* p) {
    if (*p == 'o')
        return word_is(p, "otherwise") ? 9 : 0;
    if (*p != 'e' || !word_is(p, "else"))
        return 0;
    return read_as(b, p, "else", "otherwise");
}

const char* needless_for_slow(TreeBuilder& b, const char* p) {
    if (!word_is(p, "for"))
        return p;
    const char* const time = lexical::skip_spaces(p + 3);
    if (!lexical::digit(*time) && lexical::after_word(time) == time)
        return p;
    b.report(DiagnosticKind::needless_word, p, p + 3, "`for` is not needed before the time")
        .mend("leave it out", b.span(p, time), "");
    return time;
}

bool label_at(const char* p) {
    const char* const after = lexical::after_word(p);
    return after != p && *lexical::skip_spaces(after) == ':';
}

bool entry_ahead(const TreeBuilder& b, const char* p) {
    if (label_at(p))
        return true;
    const std::string_view word = lexical::word_at(p);
    const bool operand = word.empty() ? lexical::digit(*p) : !lexical::is_reserved(word);
    return operand && std::find(b.token_end, p, '\n') != p;
}

bool next_choice_at(const TreeBuilder& b, const char* p) {
    if (*p != ',')
        return false;
    if (b.brackets == 0)
        return true;
    const char* const next = lexical::skip_gap(p + 1);
    return *next != ')' && !label_at(next); // the last parameter may have a comma behind it
}

bool lone_word_at(const char* p) {
    const char* const after = lexical::after_word(p);
    if (after == p)
        return false;
    const char* const next = lexical::skip_blank(after);
    return *next == '\n' || *next == ';' || *next == '}' || *next == '\0';
}

std::uint32_t slot_word_at(const TreeBuilder& b, const char* p) {
    for (const std::string_view word : {"body", "kiln", "glaze"}) {
        if (p == b.alias_at) {
            if (b.alias == word)
                return static_cast<std::uint32_t>(lexical::after_word(p) - p);
        } else if (word_is(p, word)) {
            return static_cast<std::uint32_t>(word.size());
        }
    }
    return 0;
}

} // namespace fettle
