#include "compiler/syntax/recovery.h"

#include "compiler/source/nearest.h"
#include "compiler/syntax/literals.h"
#include "compiler/syntax/messages.h"
#include "compiler/syntax/text.h"

#include <algorithm>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <string>

namespace fettle {
namespace {

bool starts(const char* p, std::string_view with) {
    return std::strncmp(p, with.data(), with.size()) == 0;
}

// Past the text whose quote stands at `p`; to the end of the line where it is not closed.
const char* past_text(const char* p) {
    if (starts(p, "\"\"\"")) {
        const char* const end = std::strstr(p + 3, "\"\"\"");
        return end ? end + 3 : p + 3;
    }
    for (++p; *p != '\n' && *p != '\0'; ++p) {
        if (*p == '"')
            return p + 1;
        if (*p == '\\' && p[1] != '\n' && p[1] != '\0')
            ++p;
    }
    return p;
}

// Is what stands before the line end at `p` a comma or an operator, so that the statement goes on?
bool goes_on_behind(const char* begin, const char* p) {
    while (p > begin && (lexical::class_of(p[-1]) & lexical::is_blank))
        --p;
    return p > begin && std::strchr(",+*/=<>", p[-1]) != nullptr;
}

bool goes_on_before(const char* p) {
    const std::string_view word = lexical::word_at(p);
    return word == "otherwise" || word == "else";
}

const char* skip_in_text(const TreeBuilder& b, const char* p) {
    while (*p != '}' && *p != '"' && *p != '\n' && *p != '\0' && p != b.text_end)
        ++p;
    return p;
}

const char* line_start(const TreeBuilder& b, const char* p) {
    while (p > b.begin && p[-1] != '\n')
        --p;
    return p;
}

// The blanks at the start of the line of `p`; a tab counts as four.
std::ptrdiff_t indent(const TreeBuilder& b, const char* p) {
    std::ptrdiff_t width = 0;
    for (const char* c = line_start(b, p); *c == ' ' || *c == '\t'; ++c)
        width += *c == ' ' ? 1 : 4;
    return width;
}

bool first_on_line(const TreeBuilder& b, const char* p) {
    const char* c = line_start(b, p);
    while (c < p && (lexical::class_of(*c) & lexical::is_blank))
        ++c;
    return c == p;
}

bool line_opens_block(const char* p) {
    const char* end = lexical::to_line_end(p);
    if (const char* const comment =
            static_cast<const char*>(std::memchr(p, '#', static_cast<std::size_t>(end - p)))) {
        end = comment;
    }
    while (end > p && (lexical::class_of(end[-1]) & lexical::is_blank))
        --end;
    return end > p && end[-1] == '{';
}

// How many '{' of the file have no '}'; less than 0: too many '}'.
int missing_braces(TreeBuilder& b) {
    if (b.braces_counted)
        return b.missing_braces;
    b.braces_counted = true;
    for (const char* p = b.begin; p < b.end;) {
        switch (*p) {
        case '"': p = past_text(p); break;
        case '#': p = lexical::to_line_end(p); break;
        case '{':
            ++b.missing_braces;
            ++p;
            break;
        case '}':
            --b.missing_braces;
            ++p;
            break;
        default: ++p;
        }
    }
    return b.missing_braces;
}

} // namespace

const char* skip_block(const TreeBuilder& b, const char* p) {
    for (int open = 1; p < b.end;) {
        switch (*p) {
        case '"': p = past_text(p); break;
        case '#': p = lexical::to_line_end(p); break;
        case '{':
            ++open;
            ++p;
            break;
        case '}':
            if (--open == 0)
                return p;
            ++p;
            break;
        default: ++p;
        }
    }
    return p;
}

namespace {

// Past a '{' that opens nothing: with all of its block, if the braces of the file come out even.
const char* past_stray_brace(TreeBuilder& b, const char* p) {
    if (missing_braces(b) > 0) {
        --b.missing_braces;
        return p + 1;
    }
    const char* const close = skip_block(b, p + 1);
    return *close == '}' ? close + 1 : lexical::to_line_end(p);
}

} // namespace

const char* skip_to_end_of_statement(TreeBuilder& b, const char* p) {
    if (b.in_text)
        return skip_in_text(b, p);
    int open = b.brackets;
    const char* line_end = nullptr; // of the first line, to fall back to
    for (;;) {
        switch (*p) {
        case '\0':
        case '}':
        case ';': return line_end ? line_end : p;
        case '"': p = past_text(p); break;
        case '#': p = lexical::to_line_end(p); break;
        case '(':
        case '[':
            ++open;
            ++p;
            break;
        case ')':
        case ']':
            open -= open > 0;
            ++p;
            break;
        case '{': {
            if (b.header)
                return p;
            p = past_stray_brace(b, p);
            break;
        }
        case '\n': {
            const char* const next = lexical::skip_gap(p);
            const bool goes_on = open > 0 || goes_on_behind(b.begin, p) || goes_on_before(next);
            if (open == 0 && !goes_on)
                return p;
            if (line_end == nullptr)
                line_end = p;
            if (*next == '\0' || starts_statement(next))
                return line_end;
            if (open == 0)
                line_end = nullptr;
            p = next;
            break;
        }
        default: ++p;
        }
    }
}

bool starts_statement(const char* p) {
    if (*p == '}')
        return true;
    const std::string_view word = lexical::word_at(p);
    if (word.empty() || lexical::is_reserved(word) || lexical::cone_at(p) != 0)
        return false;
    const char* const behind = p + word.size();
    const char* const next = lexical::skip_spaces(behind);
    if (*next == '{' || *next == '"')
        return true;
    if (next == behind)
        return false;
    const bool known = is_word_of(BlockKind::steps, word) || is_word_of(BlockKind::firing, word) ||
                       is_word_of(BlockKind::file, word) || is_word_of(BlockKind::rule, word);
    if (lexical::digit(*next))
        return true;
    const std::string_view second = lexical::word_at(next);
    if (second.empty())
        return false;
    if (lexical::is_reserved(second)) {
        return known && (second == "to" || second == "by" || second == "at");
    }
    for (const std::string_view operator_word :
         {"keeps", "breaks", "waiting", "with", "times", "freely", "opened", "in", "on", "as"}) {
        if (second == operator_word)
            return false;
    }
    return true;
}

const char* past_lines_to_operand(const char* p) {
    const char* const next = lexical::skip_gap(p);
    return *next == '\0' || starts_statement(next) ? p : next;
}

const char* next_declaration(const TreeBuilder& b, const char* p) {
    while (p < b.end) {
        if (p[-1] == '\n' && is_word_of(BlockKind::file, lexical::word_at(p)))
            return p;
        p = lexical::to_line_end(p);
        if (*p == '\n')
            ++p;
    }
    return p;
}

// --- statements ---------------------------------------------------------------------------------

namespace {

std::string lower_case(std::string_view word) {
    std::string out(word);
    for (char& c : out) {
        if (c >= 'A' && c <= 'Z')
            c = static_cast<char>(c - 'A' + 'a');
    }
    return out;
}

bool is_word_anywhere(std::string_view word) {
    for (const BlockKind place :
         {BlockKind::file, BlockKind::firing, BlockKind::steps, BlockKind::rule, BlockKind::test,
          BlockKind::accept, BlockKind::profile}) {
        if (is_word_of(place, word))
            return true;
    }
    return false;
}

void set_alias(TreeBuilder& b, BlockKind place, const char* p, std::string_view meant) {
    const auto words = words_of(place);
    b.alias_at = p;
    b.alias = *std::find(words.begin(), words.end(), meant); // a view that lasts
}

const char* skip_unknown(TreeBuilder& b, const char* p, const char* at_least) {
    b.header = false;
    b.panic = true;
    const char* const end = std::max(skip_to_end_of_statement(b, at_least), at_least);
    b.push_error(p, end);
    return end;
}

struct Comment {
    std::string_view open, close;
};
constexpr Comment comments[] = {{"//", ""}, {"/*", "*/"}, {"--", ""}};

// Past a comment of another language, or null.
const char* foreign_comment(TreeBuilder& b, const char* p) {
    for (const Comment& comment : comments) {
        if (!starts(p, comment.open))
            continue;
        const char* end = lexical::to_line_end(p);
        if (!comment.close.empty()) {
            const char* const close = std::strstr(p, comment.close.data());
            if (close != nullptr)
                end = close + comment.close.size();
        }
        auto& said = b.report(DiagnosticKind::unusual_comment, p, p + comment.open.size(),
                              fmt::format("`{}` starts no comment; `#` does", comment.open));
        if (comment.close.empty()) {
            said.mend("write `#`", b.span(p, p + comment.open.size()), "#");
        } else {
            said.mend("start each line of the comment with `#`");
        }
        return end;
    }
    return nullptr;
}

// Steps or settings outside of any block: the '}' before them came too early.
const char* outside_block(TreeBuilder& b, const char* p, std::string_view word) {
    auto& said = b.report(DiagnosticKind::outside_block, p, p + word.size(),
                          fmt::format("`{}` stands outside of any block", word));
    const char* before = p;
    while (before > b.begin &&
           (before[-1] == '\n' || lexical::class_of(before[-1]) & lexical::is_blank)) {
        --before;
    }
    if (before > b.begin && before[-1] == '}') {
        said.note(b.span(before - 1, before),
                  "the last block ended here; is this `}` one too many?");
    }
    said.mend("put it into a firing or a template");
    const char* end = p;
    while (end < b.end) {
        if (end != p && end[-1] == '\n') {
            if (*end == '}') {
                ++end;
                break;
            }
            if (is_word_of(BlockKind::file, lexical::word_at(end)))
                break;
        }
        end = lexical::to_line_end(end);
        if (*end == '\n')
            ++end;
    }
    b.push_error(p, end);
    b.panic = true;
    return end;
}

const char* step_in_firing(TreeBuilder& b, const char* p, std::string_view word) {
    const char* const block = b.blocks.empty() ? nullptr : b.blocks.back().brace;
    if (b.loose_steps_in != block) {
        b.loose_steps_in = block;
        b.report(DiagnosticKind::step_outside_phase, p, p + word.size(),
                 fmt::format("`{}` is a step, and steps stand in a phase", word))
            .mend("put this step and those that belong to it into `phase NAME { ... }`");
    }
    return skip_unknown(b, p, p + word.size());
}

std::string listed(BlockKind place) {
    return fmt::format("`{}`", fmt::join(words_of(place), "`, `"));
}

const char* unknown_word(TreeBuilder& b, BlockKind place, const char* p, std::string_view word) {
    const char* const after = p + word.size();
    if (place == BlockKind::file && is_word_anywhere(word))
        return outside_block(b, p, word);
    if (place == BlockKind::firing && is_word_of(BlockKind::steps, word))
        return step_in_firing(b, p, word);
    if (place == BlockKind::steps && word == "phase") {
        b.report(DiagnosticKind::nested_phase, p, after, "a phase stands inside another phase")
            .mend("close the other phase before this one starts")
            .mend("to reuse steps, write `follow NAME`");
    } else if (is_word_anywhere(word) && !words_of(place).empty()) {
        auto& said = b.report(DiagnosticKind::statement_elsewhere, p, after,
                              fmt::format("`{}` has no place in {}", word, to_string(place)));
        if (is_word_of(BlockKind::firing, word))
            said.mend("it stands in a firing or template");
        else if (is_word_of(BlockKind::file, word))
            said.mend("it stands outside of all blocks");
        else if (is_word_of(BlockKind::steps, word))
            said.mend("it is a step, and stands in a phase");
        else
            said.mend(fmt::format("here may stand {}", listed(place)));
    } else {
        auto& said =
            b.report(DiagnosticKind::unknown_statement, p, after,
                     fmt::format("`{}` starts nothing that {} can hold", word, to_string(place)));
        if (!words_of(place).empty())
            said.mend(fmt::format("here may stand {}", listed(place)));
    }
    return skip_unknown(b, p, after);
}

} // namespace

bool guess_statement(TreeBuilder& b, BlockKind place, const char* p) {
    const std::string_view word = lexical::word_at(p);
    if (word.empty())
        return false;
    const char* const after = p + word.size();
    const std::string lower = lower_case(word);
    if (lower != word && is_word_of(place, lower)) {
        b.report(DiagnosticKind::capital_letters, p, after,
                 fmt::format("`{}` is written `{}`", word, lower))
            .mend(fmt::format("write `{}`", lower), b.span(p, after), lower);
        set_alias(b, place, p, lower);
        return true;
    }
    std::string_view meant = synonym_of(lower);
    if (!is_word_of(place, meant)) {
        if (is_word_anywhere(word))
            return false;
        meant = nearest(word, words_of(place)).value_or("");
    }
    if (meant.empty())
        return false;
    b.report(DiagnosticKind::unknown_statement, p, after,
             fmt::format("`{}` starts nothing that {} can hold; did you mean `{}`?", word,
                         to_string(place), meant))
        .mend(fmt::format("write `{}`", meant), b.span(p, after), std::string(meant));
    set_alias(b, place, p, meant);
    b.quiet = true;
    return true;
}

const char* unknown_statement(TreeBuilder& b, BlockKind place, const char* p) {
    const std::string_view word = lexical::word_at(p);
    if (!word.empty())
        return unknown_word(b, place, p, word);
    if (const char* const end = foreign_comment(b, p)) {
        b.panic = true;
        return end;
    }
    const std::string_view token = token_at(p);
    if (*p == '{') {
        b.report(DiagnosticKind::stray_brace, p, p + 1, "this `{` opens the block of nothing")
            .mend("put a word before it that says what the block is");
    } else if (*p == ')' || *p == ']') {
        b.report(DiagnosticKind::stray_bracket, p, p + 1,
                 fmt::format("this `{}` closes nothing", *p))
            .mend("leave it out", b.span(p, p + 1), "");
    } else {
        b.report(DiagnosticKind::unknown_statement, p, p + token.size(),
                 fmt::format("`{}` starts no line of {}; a word does", token, to_string(place)));
    }
    return skip_unknown(b, p, *p == '{' ? p : p + token.size());
}

namespace {

bool second_statement(BlockKind place, const char* p, std::string_view word) {
    if (word.empty() || lexical::is_reserved(word))
        return false;
    if (word == "for")
        return lexical::word_at(lexical::skip_spaces(p + 3)) == "each";
    if (takes_fields(place))
        return starts_statement(p) || is_word_of(place, word);
    if (place == BlockKind::recipe)
        return starts_statement(p);
    return is_word_of(place, word);
}

// "100C per h"
const char* per_unit(TreeBuilder& b, const char* p, std::string_view word) {
    const char* const unit = lexical::skip_spaces(p + word.size());
    const std::string_view unit_word = lexical::word_at(unit);
    if (word != "per" || !lexical::looks_like_unit(unit_word))
        return nullptr;
    const std::string_view shortened = unit_word == "hour" ? "h" : unit_word;
    const char* const after = unit + unit_word.size();
    b.report(
         DiagnosticKind::space_before_unit, p, after,
         fmt::format("`per {}` is written `/{}`, right behind the number", unit_word, shortened))
        .mend(fmt::format("write `/{}`", shortened), b.span(b.token_end, after),
              fmt::format("/{}", shortened));
    return lexical::skip_blank(after);
}

// "ramp to 600C at 100C/h for 20m"
const char* step_for(TreeBuilder& b, const char* p) {
    b.report(DiagnosticKind::left_over, p, p + 3, "`for` says nothing about a step")
        .mend("to stay at the top, write `with soak` and a time", b.span(p, p + 3), "with soak");
    return skip_to_end_of_statement(b, p);
}

// Commas between the lines of a block: all those of a recipe are one mistake.
const char* separating_comma(TreeBuilder& b, BlockKind place, const char* p) {
    if (place != BlockKind::recipe) {
        b.report(DiagnosticKind::left_over, p, p + 1,
                 "`,` does not end a line; a new line or `;` does")
            .mend("write `;`", b.span(p, p + 1), ";");
        return p + 1;
    }
    const char* const block = b.blocks.back().brace;
    if (b.commas_told_in == block)
        return p + 1;
    b.commas_told_in = block;
    Mend mend;
    mend.text = "write `;`, or start a new line";
    for (const char* c = p; *c != '}' && *c != '{' && *c != '\0' && *c != '#' && *c != '"'; ++c) {
        if (*c == ',')
            mend.edits.push_back({b.span(c, c + 1), ";"});
    }
    b.report(DiagnosticKind::left_over, p, p + 1, "`,` does not end a line; a new line or `;` does")
        .mends.push_back(std::move(mend));
    return p + 1;
}

} // namespace

const char* left_over(TreeBuilder& b, BlockKind place, const char* p) {
    const std::string_view word = lexical::word_at(p);
    if (*p == ',' && place != BlockKind::file)
        return separating_comma(b, place, p);
    if (place == BlockKind::steps && word == "for" && !second_statement(place, p, word)) {
        return step_for(b, p);
    }
    if (second_statement(place, p, word)) {
        b.report(DiagnosticKind::two_on_one_line, p, p + word.size(),
                 fmt::format("`{}` starts something new on the same line", word))
            .mend("put `;` before it, or start a new line", b.span(b.token_end, b.token_end), ";");
        return p;
    }
    if (const char* const after = per_unit(b, p, word)) {
        b.panic = true;
        return skip_to_end_of_statement(b, after);
    }
    if (const char* const end = foreign_comment(b, p))
        return lexical::skip_blank(end);
    const std::string_view token = token_at(p);
    if (*p == ')' || *p == ']') {
        b.report(DiagnosticKind::stray_bracket, p, p + 1,
                 fmt::format("this `{}` closes nothing", *p))
            .mend("leave it out", b.span(p, p + 1), "");
    } else if (lexical::digit(*p) && lexical::digit(b.token_end[-2]) &&
               (lexical::class_of(b.token_end[-1]) & lexical::is_letter)) {
        b.report(DiagnosticKind::left_over, p, p + token.size(),
                 fmt::format("`{}` stands apart from the number before it", token))
            .mend("write them as one", b.span(b.token_end, p), "");
    } else {
        b.report(DiagnosticKind::left_over, p, p + token.size(),
                 fmt::format("`{}` is one thing too many on this line", token));
    }
    return skip_to_end_of_statement(b, p);
}

// --- blocks -------------------------------------------------------------------------------------

bool ends_block_slow(TreeBuilder& b, BlockKind place, const char* p) {
    const std::string_view word = lexical::word_at(p);
    const bool among_steps = place == BlockKind::steps && word == "phase";
    if (!among_steps && (p[-1] != '\n' || !is_word_of(BlockKind::file, word)))
        return false;
    const char* const next = lexical::skip_spaces(p + word.size());
    if (next == p + word.size() || (*next != '"' && lexical::after_word(next) == next))
        return false;
    if (missing_braces(b) <= 0)
        return false;
    if (among_steps || (!takes_fields(place) && !is_word_of(place, word)))
        return true;
    const bool profile_word = word == "body" || word == "kiln" || word == "glaze" ||
                              word == "controller" || word == "tariff" || word == "material" ||
                              word == "insulation";
    if (profile_word)
        return line_opens_block(p);
    return b.blocks.back().indented || takes_fields(place);
}

bool opens_without_brace(TreeBuilder& b, BlockKind place, const char* p) {
    if (*p == '\0' || *p == '}' || !first_on_line(b, p))
        return false;
    if (indent(b, p) <= indent(b, b.statement))
        return false;
    const std::string_view word = lexical::word_at(p);
    const bool any_word = takes_fields(place) || place == BlockKind::recipe;
    const bool fits = any_word ? !word.empty() && !lexical::is_reserved(word)
                               : place == BlockKind::memory || is_word_of(place, word);
    if (!fits)
        return false;
    if (!b.panic)
        (void)report_missing(b, Missing::block, lexical::skip_blank(b.token_end));
    (void)missing_braces(b);
    ++b.missing_braces;
    return true;
}

bool enter_block(TreeBuilder& b, const char* brace, const char* owner) {
    const char* const first = lexical::skip_gap(*brace == '{' ? brace + 1 : brace);
    b.blocks.push_back({brace, owner, first_on_line(b, first) && indent(b, first) > 0});
    b.brackets = 0;
    if (++b.depth <= nesting_limit)
        return true;
    report_nesting(b, brace);
    return false;
}

const char* leave_block(TreeBuilder& b, const char* p) {
    const OpenBlock block = b.blocks.back();
    b.blocks.pop_back();
    --b.depth;
    b.panic = false;
    if (*p == '}') {
        if (first_on_line(b, p) && indent(b, p) < indent(b, block.owner)) {
            b.suspect_brace = block.brace;
            b.suspect_close = p;
        }
        return p + 1;
    }
    if (b.missing_brace_told)
        return p;
    b.missing_brace_told = true;
    --b.missing_braces;
    const bool suspect = b.suspect_brace != nullptr && b.suspect_brace > block.brace;
    const char* const brace = suspect ? b.suspect_brace : block.brace;
    auto& said = b.report(DiagnosticKind::missing_brace, brace, brace + (*brace == '{'),
                          "this block is not closed: its `}` is missing");
    if (suspect) {
        said.note(b.span(b.suspect_close, b.suspect_close + 1),
                  "this `}` closes it, though it stands further out than its line");
        said.mend("put its `}` on a line of its own where the block ends");
    } else {
        said.mend("put `}` where the block ends", b.span(b.token_end, b.token_end),
                  fmt::format("\n{:{}}}}", "", indent(b, block.owner)));
    }
    b.suspect_brace = nullptr;
    return p;
}

const char* stray_brace(TreeBuilder& b, const char* p) {
    b.report(DiagnosticKind::stray_brace, p, p + 1, "this `}` closes nothing")
        .mend("leave it out, or look for a `{` that is missing above it", b.span(p, p + 1), "");
    return p + 1;
}

} // namespace fettle
