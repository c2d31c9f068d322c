#include "compiler/syntax/wrong_statement.h"

#include "compiler/source/nearest.h"
#include "compiler/syntax/messages.h"
#include "compiler/syntax/recovery.h"

#include <algorithm>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <string>

namespace fettle {

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
        if (!lexical::starts(p, comment.open))
            continue;
        const char* end = lexical::to_line_end(p);
        if (!comment.close.empty()) {
            const char* const close =
                b.looks_ahead < 0 ? nullptr : std::strstr(p, comment.close.data());
            b.looks_ahead -= (close == nullptr ? b.end : close) - p;
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
    if (missing_braces(b) < 0) {
        ++b.missing_braces;
        ++b.strays_told;
        b.loose_steps_in = b.blocks.back().brace;
        b.report(DiagnosticKind::outside_block, p, p + word.size(),
                 fmt::format("`{}` stands outside of any phase", word))
            .mend("look for a `}` too many above it");
        return skip_unknown(b, p, p + word.size());
    }
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
    // With a '}' too many above, what is left of its block stands outside.
    const bool cut_off = missing_braces(b) < 0 && p > b.begin && p[-1] != '\n';
    if (place == BlockKind::file && (is_word_anywhere(word) || cut_off))
        return outside_block(b, p, word);
    const bool step = is_word_of(BlockKind::steps, word) || word == "otherwise";
    if (place == BlockKind::firing && step)
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

bool continues_broken(const TreeBuilder& b, const char* broken, const char* p) {
    if (broken == nullptr || !first_on_line(b, p))
        return false;
    return *p == '{' || indent(b, p) > indent(b, broken);
}

const char* skip_rest_of_broken(TreeBuilder& b, const char* broken, const char* p) {
    b.broken = broken;
    const bool in_place = *p == '{' || *p == '"';
    return skip_unknown(b, p, in_place ? p : p + std::max<std::size_t>(token_at(p).size(), 1));
}

bool guess_statement(TreeBuilder& b, BlockKind place, const char* p) {
    const std::string_view word = lexical::word_at(p);
    constexpr std::size_t longest = 40; // beyond, it is no slip
    if (word.empty() || word.size() > longest || b.reported > message_limit)
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
    if (b.reported > message_limit) // no time for what nobody will read
        return skip_unknown(b, p, p + std::max<std::size_t>(word.size(), 1));
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
    return skip_unknown(b, p, *p == '{' || *p == '"' ? p : p + token.size());
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

// A misspelt word that would go on the statement: "beteen", "wth".
bool told_misspelt(TreeBuilder& b, BlockKind place, const char* p, std::string_view word) {
    static constexpr std::string_view of_fields[] = {"between", "on"};
    static constexpr std::string_view of_others[] = {
        "because", "by", "else", "in", "on", "otherwise", "over", "waiting", "when", "with"};
    if (word.empty() || word.size() > 40)
        return false;
    const auto meant = takes_fields(place) ? nearest(word, of_fields) : nearest(word, of_others);
    if (!meant || *meant == word)
        return false;
    b.report(
         DiagnosticKind::left_over, p, p + word.size(),
         fmt::format("`{}` is one thing too many on this line; did you mean `{}`?", word, *meant))
        .mend(fmt::format("write `{}`", *meant), b.span(p, p + word.size()), std::string(*meant));
    return true;
}

// "limt rise 5C/h", which was read as a field of that name. The field goes.
bool told_misspelt_field(TreeBuilder& b, BlockKind place) {
    const std::string_view word = lexical::word_at(b.statement);
    if (!takes_fields(place) || is_word_of(place, word) || word.size() > 40)
        return false;
    const auto meant = nearest(word, words_of(place));
    if (!meant)
        return false;
    const char* const after = b.statement + word.size();
    const bool capital = lower_case(word) == *meant;
    b.report(capital ? DiagnosticKind::capital_letters : DiagnosticKind::unknown_statement,
             b.statement, after, fmt::format("`{}` is written `{}`", word, *meant))
        .mend(fmt::format("write `{}`", *meant), b.span(b.statement, after), std::string(*meant));
    Node& field = b.stack.back();
    field.kind = NodeKind::error;
    field.count = 0;
    return true;
}

// "ramp to 600C at 100C/h for 20m"
const char* step_for(TreeBuilder& b, const char* p) {
    b.report(DiagnosticKind::left_over, p, p + 3, "`for` says nothing about a step")
        .mend("to stay at the top, write `with soak` and a time", b.span(p, p + 3), "with soak");
    return skip_to_end_of_statement(b, p);
}

// Commas between the lines of a block: all of them are one mistake.
const char* separating_comma(TreeBuilder& b, BlockKind place, const char* p) {
    const char* const block = b.blocks.back().brace;
    if (b.commas_told_in == block)
        return p + 1;
    b.commas_told_in = block;
    Mend mend;
    mend.text = "write `;`, or start a new line";
    for (const char* c = p; *c != '}' && *c != '{' && *c != '\0' && *c != '#' && *c != '"'; ++c) {
        if (*c != ',')
            continue;
        if (c == p || place == BlockKind::recipe || starts_statement(lexical::skip_gap(c + 1)))
            mend.edits.push_back({b.span(c, c + 1), ";"});
    }
    b.report(DiagnosticKind::left_over, p, p + 1, "`,` does not end a line; a new line or `;` does")
        .mends.push_back(std::move(mend));
    return p + 1;
}

} // namespace

const char* left_over(TreeBuilder& b, BlockKind place, const char* p) {
    const std::string_view word = lexical::word_at(p);
    if (*p == ',' && place != BlockKind::file &&
        (place == BlockKind::recipe || starts_statement(lexical::skip_gap(p + 1))))
        return separating_comma(b, place, p);
    if (place == BlockKind::steps && word == "for" && !second_statement(place, p, word)) {
        return step_for(b, p);
    }
    if (told_misspelt_field(b, place) || told_twice(b, p) ||
        (!is_word_of(place, word) && told_misspelt(b, place, p, word)))
        return skip_to_end_of_statement(b, p);
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
        auto& said = b.report(DiagnosticKind::left_over, p, p + token.size(),
                              fmt::format("`{}` is one thing too many on this line", token));
        if (*p == '.')
            said.mend("leave it out", b.span(p, p + 1), "");
    }
    return skip_to_end_of_statement(b, p);
}

} // namespace fettle
