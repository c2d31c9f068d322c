#include "compiler/syntax/literals.h"

#include "compiler/source/characters.h"

#include <algorithm>
#include <fmt/format.h>
#include <iterator>
#include <string>
#include <string_view>

namespace fettle {
namespace {

using lexical::Literal;

std::string_view text_of(const char* from, const char* to) {
    return {from, static_cast<std::size_t>(to - from)};
}

bool is_utf8(std::string_view text) {
    while (!text.empty()) {
        const Character c = first_character(text);
        if (!c.valid)
            return false;
        text.remove_prefix(c.length);
    }
    return true;
}

std::string replaced(std::string_view text, std::string_view from, std::string_view to) {
    std::string out(text);
    for (std::size_t at = 0; (at = out.find(from, at)) != std::string::npos; at += to.size()) {
        out.replace(at, from.size(), to);
    }
    return out;
}

const char* mended(TreeBuilder& b, DiagnosticKind kind, const char* p, const char* after,
                   std::string message, const std::string& right) {
    b.literal_kind = NodeKind::error;
    b.report(kind, p, after, std::move(message))
        .mend(fmt::format("write `{}`", right), b.span(p, after), right);
    return after;
}

// "12,5C", or "1,222C", which may be meant either way.
const char* decimal_comma(TreeBuilder& b, const char* p, const char* comma) {
    const char* const after = comma + 1 + lexical::literal_at(comma + 1).length;
    const std::string_view whole = text_of(p, after);
    const bool thousands = comma - p <= 3 && lexical::digit(comma[2]) && lexical::digit(comma[3]) &&
                           !lexical::digit(comma[4]);
    b.literal_kind = NodeKind::error;
    auto& said = b.report(
        DiagnosticKind::decimal_comma, p, after,
        thousands ? fmt::format("`{}`: a number has no comma, whatever it stands for", whole)
                  : fmt::format("`{}`: a decimal point is a point, not a comma", whole));
    if (thousands) {
        const std::string joined = replaced(whole, ",", "");
        said.mend(fmt::format("for thousands, write `{}`", joined), b.span(p, after), joined);
    }
    const std::string pointed = replaced(whole, ",", ".");
    said.mend(thousands ? fmt::format("for a fraction, write `{}`", pointed)
                        : fmt::format("write `{}`", pointed),
              b.span(p, after), pointed);
    return after;
}

// "1 222C"
const char* spaced_thousands(TreeBuilder& b, const char* p, const char* rest) {
    const char* const after = rest + lexical::literal_at(rest).length;
    std::string right(text_of(p, after));
    right.erase(std::remove(right.begin(), right.end(), ' '), right.end());
    return mended(b, DiagnosticKind::space_before_unit, p, after,
                  fmt::format("`{}`: there is no space inside a number", text_of(p, after)), right);
}

// How a unit that is written out is written here.
std::string_view short_unit(std::string_view word) {
    struct Name {
        std::string_view from, to;
    };
    static constexpr Name names[] = {{"hour", "h"}, {"hours", "h"},     {"hr", "h"},
                                     {"hrs", "h"},  {"minute", "m"},    {"mins", "m"},
                                     {"sec", "s"},  {"minutes", "m"},   {"seconds", "s"},
                                     {"days", "d"}, {"metres", "metre"}};
    const auto* const found = std::find_if(std::begin(names), std::end(names),
                                           [&](const Name& n) { return n.from == word; });
    return found == std::end(names) ? word : found->to;
}

// "600 degrees", "600 deg C"
const char* degrees(TreeBuilder& b, const char* p, const char* number_end, const char* unit) {
    const char* after = lexical::after_word(unit);
    const std::string_view scale = lexical::word_at(lexical::skip_spaces(after));
    const std::string_view number = text_of(p, number_end);
    b.literal_kind = NodeKind::error;
    if (!scale.empty() && (scale[0] == 'C' || scale[0] == 'F')) {
        after = scale.data() + scale.size();
    }
    auto& said =
        b.report(DiagnosticKind::space_before_unit, p, after,
                 fmt::format("`{}`: degrees are written `C` or `F` right behind the number",
                             text_of(p, after)));
    for (const char letter : {'C', 'F'}) {
        if (!scale.empty() && (scale[0] == 'C' || scale[0] == 'F') && scale[0] != letter)
            continue;
        const std::string right = fmt::format("{}{}", number, letter);
        said.mend(fmt::format("write `{}`", right), b.span(p, after), right);
    }
    return after;
}

// "20 min", "100 C/h", "1 hour 30 minutes"
const char* spaced_unit(TreeBuilder& b, const char* p, const char* number_end, const char* unit) {
    const char* after = lexical::after_word(unit);
    std::string right =
        fmt::format("{}{}", text_of(p, number_end), short_unit(text_of(unit, after)));
    if (*after == '/' && (lexical::class_of(after[1]) & lexical::is_letter)) {
        const char* const per = after;
        after = lexical::after_word(after + 1);
        right += text_of(per, after);
    }
    for (;;) {
        const char* const digits = lexical::skip_spaces(after);
        const lexical::Literal more = lexical::literal_at(digits);
        const char* const next = lexical::skip_spaces(digits + more.length);
        if (more.kind != NodeKind::number || !lexical::looks_like_unit(lexical::word_at(next)))
            break;
        after = lexical::after_word(next);
        right += fmt::format("{}{}", text_of(digits, digits + more.length),
                             short_unit(text_of(next, after)));
    }
    return mended(b, DiagnosticKind::space_before_unit, p, after,
                  fmt::format("`{}`: a unit stands right behind its number", text_of(p, after)),
                  right);
}

const char* leading_zero(TreeBuilder& b, const char* p, const char* after) {
    const char* first = p;
    while (*first == '0' && first + 1 < after && lexical::digit(first[1]))
        ++first;
    Diagnostic& d =
        b.report(DiagnosticKind::leading_zero, p, after,
                 fmt::format("`{}` starts with a zero, which only cones do", text_of(p, after)));
    if (*first != '0') { // there is no cone 00
        d.mend(fmt::format("for the cone, write `cone {}`", text_of(p, after)), b.span(p, p),
               "cone ");
    }
    d.mend(fmt::format("for the number, write `{}`", text_of(first, after)), b.span(p, first), "");
    b.literal_kind = NodeKind::error;
    return after;
}

} // namespace

const char* mend_literal(TreeBuilder& b, const char* p, Literal found) {
    const char* const after = p + found.length;
    if (found.kind == NodeKind::version) {
        b.report(DiagnosticKind::two_decimal_points, p, after,
                 fmt::format("`{}` has more than one decimal point", text_of(p, after)))
            .mend("write a number with one point; versions stand only in a library");
        b.literal_kind = NodeKind::error;
        return after;
    }
    if (found.kind == NodeKind::quantity && !is_utf8(text_of(p, after))) {
        b.literal_kind = NodeKind::error; // the file has a message about it
        return after;
    }
    if (found.kind == NodeKind::quantity) {
        std::string right(text_of(p, after));
        for (const std::string_view sign : {"º", "˚"})
            right = replaced(right, sign, "°");
        if (right == text_of(p, after))
            return after;
        return mended(b, DiagnosticKind::unusual_sign, p, after,
                      fmt::format("`{}` has another sign in place of `°`", text_of(p, after)),
                      right);
    }
    if (*after == ',' && lexical::digit(after[1]) && b.brackets == 0) {
        return decimal_comma(b, p, after);
    }
    if (*after == ' ') {
        const char* const unit = lexical::skip_spaces(after);
        if (lexical::digit(*unit)) {
            const bool three = lexical::digit(unit[1]) && lexical::digit(unit[2]);
            return three && !lexical::digit(unit[3]) ? spaced_thousands(b, p, unit) : after;
        }
        const std::string_view word = lexical::word_at(unit);
        if (word == "degrees" || word == "degree" || word == "deg") {
            return degrees(b, p, after, unit);
        }
        if (lexical::looks_like_unit(lexical::word_at(unit)))
            return spaced_unit(b, p, after, unit);
    }
    if (*p == '0' && found.length > 1 && p[1] != '.')
        return leading_zero(b, p, after);
    return after;
}

const char* marked_literal_slow(TreeBuilder& b, const char* p) {
    for (const std::string_view mark : {"^", "Δ", "∆", "△", "▲"}) {
        const char* const digits = p + mark.size();
        if (!lexical::starts(p, mark) || !lexical::digit(*digits))
            continue;
        const char* const after = digits + lexical::literal_at(digits).length;
        return mended(b, DiagnosticKind::unusual_sign, p, after,
                      fmt::format("`{}`: a cone is written with the word", text_of(p, after)),
                      fmt::format("cone {}", text_of(digits, after)));
    }
    for (const std::string_view dash : {"–", "−", "—", "‐", "‑"}) {
        const char* const digits = p + dash.size();
        if (!lexical::starts(p, dash) || !lexical::digit(*digits))
            continue;
        const char* const after = digits + lexical::literal_at(digits).length;
        return mended(
            b, DiagnosticKind::unusual_sign, p, after,
            fmt::format("`{}` has a dash in place of the minus sign `-`", text_of(p, after)),
            fmt::format("-{}", text_of(digits, after)));
    }
    return p;
}

const char* mend_cone(TreeBuilder& b, const char* p, std::uint32_t length) {
    const char* const number_end = p + length;
    if (*number_end == ',') {
        if (b.brackets != 0)
            return number_end;
        const char* after = number_end + 1;
        while (lexical::digit(*after))
            ++after;
        return mended(
            b, DiagnosticKind::decimal_comma, p, after,
            fmt::format("`{}`: a decimal point is a point, not a comma", text_of(p, after)),
            replaced(text_of(p, after), ",", "."));
    }
    const char* digits = number_end;
    while (lexical::digit(digits[-1]) || digits[-1] == '.')
        --digits;
    const char* after = digits + lexical::literal_at(digits).length;
    if (after <= number_end)
        return number_end;
    if (!is_utf8(text_of(p, after))) {
        b.literal_kind = NodeKind::error;
        return after;
    }
    return mended(b, DiagnosticKind::cone_with_unit, p, after,
                  fmt::format("`{}`: a cone has no unit", text_of(p, after)),
                  std::string(text_of(p, number_end)));
}

namespace {

// Does the text look as if something of that name were declared in it? Answers are kept, and past
// some number it is yes: the passes that know the names will say what is wrong.
bool is_declared(TreeBuilder& b, std::string_view name) {
    constexpr std::size_t most = 64;
    for (const auto& [known, declared] : b.names_looked_up) {
        if (known == name)
            return declared;
    }
    if (b.names_looked_up.size() >= most)
        return true;
    const std::string_view text(b.begin, static_cast<std::size_t>(b.end - b.begin));
    bool declared = text.find(fmt::format("{}:", name)) != std::string_view::npos;
    for (const std::string_view before : {"let ", "each "}) {
        declared = declared || text.find(fmt::format("{}{}", before, name)) != text.npos;
    }
    b.names_looked_up.emplace_back(name, declared);
    return declared;
}

} // namespace

const char* mend_name(TreeBuilder& b, const char* p, const char* after) {
    const char* const digits = *p == 'C' || *after == '-' ? lexical::skip_spaces(after + 1) : p + 4;
    if (!lexical::digit(*digits))
        return after;
    const char* const number_end = digits + lexical::literal_at(digits).length;
    if (digits < after && number_end != after)
        return after; // "cone6_glaze"
    const std::string_view name = text_of(p, after);
    if (is_declared(b, name))
        return after;
    const std::string right = fmt::format("cone {}", text_of(digits, number_end));
    if (*p == 'C') {
        return mended(b, DiagnosticKind::capital_letters, p, number_end,
                      fmt::format("`{}` is written `cone`", name), right);
    }
    return mended(b, DiagnosticKind::cone_without_space, p, number_end,
                  fmt::format("`{}`: a cone has a space before its number", text_of(p, number_end)),
                  right);
}

} // namespace fettle
