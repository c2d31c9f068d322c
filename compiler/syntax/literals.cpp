#include "compiler/syntax/literals.h"

#include "compiler/source/characters.h"

#include <fmt/format.h>
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

const char* decimal_comma(TreeBuilder& b, const char* p, const char* comma) {
    const char* const after = comma + 1 + lexical::literal_at(comma + 1).length;
    const std::string right = replaced(text_of(p, after), ",", ".");
    return mended(b, DiagnosticKind::decimal_comma, p, after,
                  fmt::format("`{}`: a decimal point is a point, not a comma", text_of(p, after)),
                  right);
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

const char* spaced_unit(TreeBuilder& b, const char* p, const char* number_end, const char* unit) {
    const char* after = lexical::after_word(unit);
    if (*after == '/' && lexical::class_of(after[1]) & lexical::is_letter) {
        after = lexical::after_word(after + 1);
    }
    const std::string right = fmt::format("{}{}", text_of(p, number_end), text_of(unit, after));
    return mended(b, DiagnosticKind::space_before_unit, p, after,
                  fmt::format("`{}`: a unit stands right behind its number", text_of(p, after)),
                  right);
}

const char* leading_zero(TreeBuilder& b, const char* p, const char* after) {
    const char* first = p;
    while (*first == '0' && first + 1 < after && lexical::digit(first[1]))
        ++first;
    b.report(DiagnosticKind::leading_zero, p, after,
             fmt::format("`{}` starts with a zero, which only cones do", text_of(p, after)))
        .mend(fmt::format("for the cone, write `cone {}`", text_of(p, after)), b.span(p, p),
              "cone ")
        .mend(fmt::format("for the number, write `{}`", text_of(first, after)), b.span(p, first),
              "");
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

const char* dashed_literal_slow(TreeBuilder& b, const char* p) {
    for (const std::string_view dash : {"–", "−", "—", "‐", "‑"}) {
        if (std::strncmp(p, dash.data(), dash.size()) != 0)
            continue;
        const char* const digits = p + dash.size();
        if (!lexical::digit(*digits))
            return p;
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

void mend_name(TreeBuilder& b, const char* p, const char* after) {
    const std::string_view name = text_of(p, after);
    for (const char* digits = p + 4; digits < after; ++digits) {
        if (!lexical::digit(*digits))
            return;
    }
    const std::string_view text(b.begin, static_cast<std::size_t>(b.end - b.begin));
    for (const std::string_view before : {"let ", "each "}) {
        if (text.find(fmt::format("{}{}", before, name)) != std::string_view::npos)
            return;
    }
    if (text.find(fmt::format("{}:", name)) != std::string_view::npos)
        return;
    (void)mended(b, DiagnosticKind::cone_without_space, p, after,
                 fmt::format("`{}` is a name; a cone has a space before its number", name),
                 fmt::format("cone {}", name.substr(4)));
}

} // namespace fettle
