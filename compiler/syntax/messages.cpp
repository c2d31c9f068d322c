#include "compiler/syntax/messages.h"

#include "compiler/source/characters.h"
#include "compiler/syntax/operators.h"
#include "compiler/syntax/recovery.h"

#include <algorithm>
#include <fmt/format.h>
#include <iterator>
#include <string>

namespace fettle {
namespace {

struct Part {
    DiagnosticKind kind;
    std::string_view what;
    std::string_view example;
};
constexpr Part parts[] = {
#define FETTLE_MISSING(name, kind, what, example) {DiagnosticKind::kind, what, example},
#include "compiler/syntax/missing.def"
#undef FETTLE_MISSING
};

const Part& part(Missing what) {
    return parts[static_cast<std::size_t>(what)];
}

bool at_end(const char* p) {
    return *p == '\n' || *p == '\0' || *p == ';' || *p == '}' || *p == '{';
}

bool starts_operand(const char* p) {
    return lexical::digit(*p) || *p == '(' || *p == '-' || lexical::after_word(p) != p;
}

// The word before `p`, which the missing part belongs to.
std::string_view word_before(const TreeBuilder& b, const char* end) {
    const char* from = end;
    while (from > b.begin &&
           ((lexical::class_of(from[-1]) & (lexical::is_inner | lexical::is_high)))) {
        --from;
    }
    return {from, static_cast<std::size_t>(end - from)};
}

// Where `sign` stands in what is left of the line, outside of brackets; null: it does not.
const char* find_on_line(const char* p, std::string_view sign) {
    int open = 0;
    for (; *p != '\n' && *p != '\0' && *p != '#' && *p != ';' && *p != '{'; ++p) {
        if (*p == '"')
            return nullptr;
        if (*p == '(' || *p == '[')
            ++open;
        if ((*p == ')' || *p == ']') && --open < 0)
            return nullptr;
        if (*p == ',' && open == 0)
            return nullptr;
        const bool same = std::string_view(p, strnlen(p, sign.size())) == sign;
        if (open == 0 && same && p[1] != '=')
            return p;
    }
    return nullptr;
}

bool on_this_line(const char* p, std::string_view word) {
    while (*p != '\n' && *p != '\0' && *p != '#' && *p != '{' && *p != ';') {
        const std::string_view here = lexical::word_at(p);
        if (here == word)
            return true;
        p += here.empty() ? 1 : here.size();
    }
    return false;
}

// Does the word at `p` stand in place of another one: does an operand follow it, with a space?
bool stands_for_another(const char* p) {
    const std::string_view word = lexical::word_at(p);
    if (word.empty() || lexical::is_reserved(word) || lexical::cone_at(p) != 0)
        return false;
    const char* const behind = p + word.size();
    const char* const next = lexical::skip_spaces(behind);
    if (next == behind)
        return false;
    if (lexical::digit(*next) || *next == '"' || *next == '[')
        return true;
    const std::string_view second = lexical::word_at(next);
    return !second.empty() && !goes_on_with(second);
}

// A word that stands in place of another: replaced, and read as that.
const char* replace_word(TreeBuilder& b, const Part& missing, const char* p) {
    const std::string_view wrong = token_at(p);
    const char* const after = p + wrong.size();
    b.report(missing.kind, p, after,
             fmt::format("`{}` stands where `{}` belongs", wrong, missing.example))
        .mend(fmt::format("write `{}`", missing.example), b.span(p, after),
              std::string(missing.example));
    return lexical::skip_blank(after);
}

// A word of the grammar that was left out can be thought there, if what follows it is.
const char* insert_word(TreeBuilder& b, const Part& missing, const char* p, bool operand_follows) {
    if (operand_follows && stands_for_another(p) && !on_this_line(p, missing.example))
        return replace_word(b, missing, p);
    const std::string_view before = word_before(b, b.token_end);
    const bool at_block = *p == '{' && !operand_follows;
    const bool go_on = operand_follows ? starts_operand(p) : at_block;
    const char* const at = b.token_end;
    auto& said =
        before.empty()
            ? b.report(missing.kind, at, at, fmt::format("`{}` is missing here", missing.example))
            : b.report(missing.kind, at - before.size(), at,
                       fmt::format("`{}` is missing behind `{}`", missing.example, before));
    if (go_on || at_end(p)) {
        said.mend(fmt::format("write `{}`", missing.example), b.span(at, at),
                  fmt::format(" {}", missing.example));
    } else {
        said.mend(fmt::format("write `{}`", missing.example));
    }
    // Where the word comes later, what stands before it is the mistake.
    return go_on && !on_this_line(p, missing.example) ? p : nullptr;
}

bool word_is(const char* p, std::string_view word) {
    return lexical::word_at(p) == word;
}

const char* missing_sign(TreeBuilder& b, Missing what, const char* p) {
    const Part& missing = part(what);
    if (what == Missing::equals && *p == ':' && p[1] != ':') {
        const char* const after = p[1] == '=' ? p + 2 : p + 1;
        b.report(missing.kind, p, after, "`=` belongs here")
            .mend("write `=`", b.span(b.token_end, after), " =");
        return lexical::skip_blank(after);
    }
    if (what == Missing::parameter_type && *p == '=') {
        b.report(missing.kind, b.token_end, b.token_end,
                 fmt::format("the type of `{}` is missing: every parameter has one",
                             word_before(b, b.token_end)))
            .mend("write it behind a colon, as in `thickness: Length = 6mm`");
        return nullptr;
    }
    if (what == Missing::parameter_type && (*p == ',' || *p == ')')) {
        b.report(missing.kind, b.token_end - word_before(b, b.token_end).size(), b.token_end,
                 fmt::format("the type of `{}` is missing: every parameter has one",
                             word_before(b, b.token_end)))
            .mend("write it behind a colon, as in `thickness: Length`");
        return nullptr;
    }
    if (const char* const found = find_on_line(p, missing.example)) {
        const char* last = found;
        while (last > p && lexical::class_of(last[-1]) & lexical::is_blank)
            --last;
        b.report(
             DiagnosticKind::left_over, p, last,
             fmt::format("`{}` is one thing too many before `{}`", token_at(p), missing.example))
            .mend("leave it out", b.span(b.token_end, found),
                  what == Missing::parameter_type ? "" : " ");
        return lexical::skip_blank(found + missing.example.size());
    }
    if (what == Missing::equals && stands_for_another(p))
        return replace_word(b, missing, p);
    if (what == Missing::result_type && (*p == '-' || *p == '='))
        return replace_word(b, missing, p);
    const std::string_view before = word_before(b, b.token_end);
    auto& said = b.report(
        missing.kind, b.token_end, b.token_end,
        before.empty() ? fmt::format("`{}` is missing here", missing.example)
                       : fmt::format("`{}` is missing behind `{}`", missing.example, before));
    said.mend(fmt::format("write `{}`", missing.example), b.span(b.token_end, b.token_end),
              what == Missing::parameter_type ? ":" : fmt::format(" {}", missing.example));
    return starts_operand(p) || *p == '"' || *p == '[' ? p : nullptr;
}

const char* missing_target_to(TreeBuilder& b, const char* p) {
    const Part& missing = part(Missing::target_to);
    const std::string_view word = lexical::word_at(p);
    const bool preposition = word == "until" || word == "up" || word == "down" || word == "from";
    if (preposition && word != "from" && !word_is(lexical::skip_spaces(p + word.size()), "to")) {
        return replace_word(b, missing, p);
    }
    if (word == "up" || word == "down") {
        const char* const to = lexical::skip_spaces(p + word.size());
        b.report(missing.kind, p, to, fmt::format("`{}` is not needed before `to`", word))
            .mend("leave it out", b.span(p, to), "");
        return lexical::skip_blank(to + 2);
    }
    if (word == "from") {
        b.report(DiagnosticKind::needless_word, p, p + 4,
                 "`from` is not needed: a step starts at the temperature where the firing is")
            .mend("leave out where it starts, and write `to` and where it ends");
        return nullptr;
    }
    const lexical::Literal literal = lexical::literal_at(p);
    const std::string_view whole(p, literal.length);
    if (whole.find('/') != std::string_view::npos || word == "freely" || word == "opened") {
        const std::string_view found = token_at(p);
        b.report(DiagnosticKind::missing_word, p, p + found.size(),
                 fmt::format("`{}` says how; where to comes first", found))
            .mend("write `ramp to 600C at 100C/h` or `cool to 600C freely`");
        return nullptr;
    }
    if (!starts_operand(p) || lexical::is_reserved(word)) {
        const std::string_view step = word_before(b, b.token_end);
        b.report(DiagnosticKind::missing_part, b.token_end - step.size(), b.token_end,
                 fmt::format("`{}` does not say where to", step))
            .mend(fmt::format("write `{} to` and a temperature or a cone", step));
        return nullptr;
    }
    return insert_word(b, missing, p, true);
}

void missing_how(TreeBuilder& b, Missing what, const char* p) {
    const Part& missing = part(what);
    const std::string_view step = lexical::word_at(b.statement);
    const std::string_view found = token_at(p);
    const bool ramp = what == Missing::ramp_how;
    if (ramp && (found == "freely" || found == "opened")) {
        b.report(missing.kind, p, p + found.size(),
                 fmt::format("`{}` is a way to cool; a kiln climbs at a rate", found))
            .mend("write `at` a rate, `over` a time, or `at full`");
        return;
    }
    if (!ramp && found == "at") {
        b.report(missing.kind, p, p + found.size(), "`at full` is a way to climb, not to cool")
            .mend("write `freely` to let the kiln cool by itself");
        return;
    }
    if (found == "in") {
        b.report(missing.kind, p, p + 2, "the time that a step takes stands behind `over`")
            .mend("write `over`", b.span(p, p + 2), "over");
        return;
    }
    if (!ramp && (found == "naturally" || found == "free" || found == "slowly")) {
        b.report(missing.kind, p, p + found.size(),
                 fmt::format("`{}` is written `freely`: shut, and left to itself", found))
            .mend("write `freely`", b.span(p, p + found.size()), "freely");
        return;
    }
    const bool rate = lexical::digit(*p);
    if (rate) {
        b.report(DiagnosticKind::missing_word, b.token_end, b.token_end,
                 fmt::format("`at` or `over` is missing before `{}`", found))
            .mend("write `at` before a rate", b.span(p, p), "at ")
            .mend("write `over` before a time", b.span(p, p), "over ");
        return;
    }
    if (at_end(p) || *p == '#') {
        b.report(missing.kind, b.token_end, b.token_end,
                 fmt::format("this `{}` does not say {}", step, missing.what))
            .mend(fmt::format("write it behind, for example `{}`", missing.example));
        return;
    }
    b.report(missing.kind, p, p + found.size(),
             fmt::format("`{}` stands where this `{}` should say {}", found, step, missing.what));
}

void missing_text(TreeBuilder& b, const Part& missing, const char* p) {
    if (at_end(p)) {
        b.report(missing.kind, b.token_end, b.token_end,
                 fmt::format("{} is missing here, such as `{}`", missing.what, missing.example));
        return;
    }
    const char* end = p;
    while (*end != '\0' && std::strchr("\n#}{;", *end) == nullptr)
        ++end;
    while (end > p && (lexical::class_of(end[-1]) & lexical::is_blank))
        --end;
    std::string right = *p == '\'' || *p == '`' ? std::string(p + 1, end) : std::string(p, end);
    if (!right.empty() && (right.back() == '\'' || right.back() == '`' || right.back() == '"')) {
        right.pop_back();
    }
    b.report(missing.kind, p, end, "a text stands in quotes, \"like this\"")
        .mend("put it in quotes", b.span(p, end), fmt::format("\"{}\"", right));
}

void reserved_name(TreeBuilder& b, const char* p, std::string_view word) {
    b.report(DiagnosticKind::reserved_name, p, p + word.size(),
             fmt::format("`{}` is a word of the language and can't be a name", word))
        .mend("take another name, or add to it, as in `" + std::string(word) + "_1`");
}

void missing_block(TreeBuilder& b, const char* p) {
    const Part& missing = part(Missing::block);
    const std::string_view owner = lexical::word_at(b.statement);
    const std::string_view found = token_at(p);
    if (*p == '=') {
        b.report(missing.kind, p, p + 1,
                 fmt::format("`=` stands where the block of `{}` should open with `{{`", owner))
            .mend("only `firing NAME = template(...)` has `=`");
    } else if (*p == '(') {
        b.report(missing.kind, p, p + 1, fmt::format("this `{}` takes no parameters", owner))
            .mend("a template, a function or a phase outside of firings has them");
    } else if (at_end(p) || *p == '#') {
        b.report(missing.kind, b.token_end, b.token_end,
                 fmt::format("`{{` is missing: what belongs to this `{}` stands in a block", owner))
            .mend("write `{`", b.span(b.token_end, b.token_end), " {");
    } else {
        b.report(missing.kind, p, p + found.size(),
                 fmt::format("`{}` stands where the block of this `{}` should open with `{{`",
                             found, owner));
    }
}

bool is_literal(NodeKind kind) {
    return kind == NodeKind::number || kind == NodeKind::quantity || kind == NodeKind::cone ||
           kind == NodeKind::clock;
}

// Slips with a message of their own; true if one was told.
bool told_specially(TreeBuilder& b, Missing what, const char* p) {
    const std::string_view word = lexical::word_at(p);
    if ((what == Missing::name || what == Missing::parameter) && lexical::is_reserved(word)) {
        reserved_name(b, p, word);
        return true;
    }
    if (*p == '\'' || *p == '`') {
        missing_text(b, part(Missing::text), p);
        return true;
    }
    if (what == Missing::name_after_dot && at_end(p) && !b.stack.empty() &&
        is_literal(b.stack.back().kind)) {
        b.report(DiagnosticKind::left_over, b.token_end - 1, b.token_end,
                 "there is no full stop at the end of a line")
            .mend("leave it out", b.span(b.token_end - 1, b.token_end), "");
        return true;
    }
    if (*p == '.' && lexical::digit(p[1])) {
        b.report(DiagnosticKind::missing_part, p, p + 1,
                 "a digit is missing before the decimal point")
            .mend("write `0` before it", b.span(p, p), "0");
        return true;
    }
    return false;
}

void missing_part(TreeBuilder& b, Missing what, const char* p) {
    const Part& missing = part(what);
    if (told_specially(b, what, p))
        return;
    if (at_end(p) || *p == '#' || *p == ')' || *p == ']') {
        const std::string_view before = word_before(b, b.token_end);
        b.report(missing.kind, b.token_end - before.size(), b.token_end,
                 before.empty() ? fmt::format("{} is missing here, such as `{}`", missing.what,
                                              missing.example)
                                : fmt::format("{} is missing behind `{}`, such as `{}`",
                                              missing.what, before, missing.example));
        return;
    }
    const std::string_view found = token_at(p);
    b.report(missing.kind, p, p + found.size(),
             fmt::format("`{}` stands where {} should, such as `{}`", found, missing.what,
                         missing.example));
}

} // namespace

std::string_view token_at(const char* p) {
    if (const std::string_view word = lexical::word_at(p); !word.empty())
        return word;
    if (const lexical::Literal found = lexical::literal_at(p); found.length != 0) {
        return {p, found.length};
    }
    if (*p == '\n' || *p == '\0')
        return {};
    if (*p == '-' && p[1] == '>')
        return {p, 2};
    return {p, first_character({p, strnlen(p, 4)}).length};
}

bool told_twice(TreeBuilder& b, const char* p) {
    const std::string_view word = lexical::word_at(p);
    if (word.empty() || word != word_before(b, b.token_end))
        return false;
    b.report(DiagnosticKind::left_over, p, p + word.size(),
             fmt::format("`{}` stands here twice", word))
        .mend("leave one out", b.span(b.token_end, p + word.size()), "");
    return true;
}

const char* report_missing(TreeBuilder& b, Missing what, const char* p) {
    const Part& missing = part(what);
    if (what != Missing::equals && what != Missing::parameter_type && told_twice(b, p))
        return nullptr;
    switch (what) {
    case Missing::target_to: return missing_target_to(b, p);
    case Missing::otherwise:
        b.report(missing.kind, b.token_end, b.token_end,
                 "`otherwise` is missing: a value with `when` needs one for all other cases")
            .mend("write `otherwise` and that value");
        return nullptr;
    case Missing::ramp_how:
    case Missing::cool_how: missing_how(b, what, p); return nullptr;
    case Missing::text:
    case Missing::test_name: missing_text(b, missing, p); return nullptr;
    case Missing::block: missing_block(b, p); return nullptr;
    case Missing::equals:
    case Missing::parameter_type:
    case Missing::result_type: return missing_sign(b, what, p);
    case Missing::between_and:
        return word_is(p, "to") ? replace_word(b, missing, p) : insert_word(b, missing, p, true);
    case Missing::times:
    case Missing::each: return insert_word(b, missing, p, what == Missing::each);
    case Missing::each_in:
        if (*p == '=' || *p == ':' || word_is(p, "of"))
            return replace_word(b, missing, p);
        return insert_word(b, missing, p, true);
    case Missing::reason:
        b.report(missing.kind, b.statement, b.token_end,
                 "a rule is waived only for a reason, which every output shows")
            .mend("write the reason", b.span(b.token_end, b.token_end), " because \"...\"");
        return nullptr;
    case Missing::type_of:
    case Missing::lining_of:
    case Missing::accept_within:
    case Missing::simplify_within:
    case Missing::waiting_within:
    case Missing::with_soak:
    case Missing::applies_when:
    case Missing::memory_for: return insert_word(b, missing, p, true);
    case Missing::every_rule:
    case Missing::up_to:
    case Missing::at_least:
    case Missing::of_peak: (void)insert_word(b, missing, p, false); return nullptr;
    default: missing_part(b, what, p); return nullptr;
    }
}

bool call_without_sign(TreeBuilder& b, const char* p) {
    const char* const after = lexical::after_word(p);
    if (b.panic || after == p || *after != '(')
        return false;
    b.report(DiagnosticKind::missing_sign, b.token_end, b.token_end,
             fmt::format("`=` is missing before `{}`", token_at(p)))
        .mend("write `=`", b.span(b.token_end, b.token_end), " =");
    return true;
}

void report_nesting(TreeBuilder& b, const char* p) {
    b.report(
         DiagnosticKind::too_deeply_nested, p, p + 1,
         fmt::format("this is nested more than {} levels deep, which is the limit", nesting_limit))
        .mend("give the inner parts a name: a `let`, a function or a phase of their own");
    b.quiet = true; // what follows from it in this statement
}

void report_operators(TreeBuilder& b, const char* p) {
    b.report(
         DiagnosticKind::too_many_operators, p, p,
         fmt::format("more than {} operators stand in a row, which is the limit", operator_limit))
        .mend("give parts of it a name with `let`");
}

void report_comparison_chain(TreeBuilder& b, const Node& first, const char* p) {
    const char* const from = b.begin + first.begin;
    auto& said = b.report(DiagnosticKind::comparison_chain, from, b.token_end,
                          "one comparison follows another; they do not chain");
    if (first.kind != NodeKind::binary)
        return;
    const Node& middle = b.nodes[first.first_child + 1];
    said.mend("join two comparisons by `and`", b.span(p, p),
              fmt::format("and {} ", std::string(b.begin + middle.begin, middle.length)));
}

const char* report_loose(TreeBuilder& b, const char* from, const char* p) {
    if (*p == ')') {
        b.report(DiagnosticKind::missing_bracket, p, p + 1, "this `)` has no `(` before it")
            .mend("put `(` where it starts", b.span(from, from), "(");
        b.token_end = p + 1;
        return lexical::skip_blank(p + 1);
    }
    Mend mend;
    mend.text = "put it in brackets";
    mend.edits.push_back({b.span(from, from), "("});
    mend.edits.push_back({b.span(b.token_end, b.token_end), ")"});
    b.report(DiagnosticKind::needs_brackets, from, b.token_end,
             "a value with conditions or comparisons needs brackets around it here")
        .mends.push_back(std::move(mend));
    return p;
}

bool forgotten_comma(TreeBuilder& b, const char* p) {
    if (b.panic || *p == ',')
        return false;
    b.report(DiagnosticKind::missing_sign, b.token_end, b.token_end,
             fmt::format("`,` is missing before `{}`", token_at(p)))
        .mend("write `,`", b.span(b.token_end, b.token_end), ",");
    return true;
}

const char* needless_sign(TreeBuilder& b, const char* p) {
    const char* const after = lexical::skip_blank(p[1] == '=' ? p + 2 : p + 1);
    b.report(DiagnosticKind::needless_sign, p, p + 1,
             fmt::format("`{}` is not needed before the value", *p))
        .mend("leave it out", b.span(b.token_end, after), " ");
    return after;
}

const char* unclosed_bracket(TreeBuilder& b, const char* open, char close, const char* p) {
    // "(((5C": one message for the end of all of them.
    const bool told = b.bracket_told == b.token_end;
    b.bracket_told = b.token_end;
    const bool on_this_line = std::find(b.token_end, p, '\n') == p;
    const char* const end = b.token_end;
    const std::string_view found = token_at(p);
    if (on_this_line && !at_end(p) && *p != '#' && *p != ')' && *p != ']') {
        b.report(DiagnosticKind::missing_bracket, p, p + found.size(),
                 fmt::format("`{}` stands where `{}` should close the `{}`", found, close, *open))
            .note(b.span(open, open + 1), "which opens here");
        b.panic = true;
        ++b.brackets;
        const char* const go_on = skip_to_end_of_statement(b, p);
        --b.brackets;
        return go_on;
    }
    if (!told) {
        b.report(DiagnosticKind::missing_bracket, open, open + 1,
                 fmt::format("this `{}` is not closed: `{}` is missing", *open, close))
            .mend(fmt::format("put `{}` where it ends", close), b.span(end, end),
                  std::string(1, close));
    }
    if ((*p == ')' || *p == ']') && on_this_line)
        return past_close(b, p + 1);
    return past_close(b, end);
}

} // namespace fettle
