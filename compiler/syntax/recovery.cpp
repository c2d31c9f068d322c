#include "compiler/syntax/recovery.h"

#include "compiler/syntax/messages.h"

#include <algorithm>
#include <fmt/format.h>
#include <string>

namespace fettle {
namespace {

// Past the text whose quote stands at `p`; to the end of the line where it is not closed.
const char* past_text(const char* p) {
    if (lexical::starts(p, "\"\"\"")) {
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

// A number or a sign, where only a word could start a line.
bool starts_nothing(const TreeBuilder& b, const char* p) {
    if (lexical::after_word(p) != p || *p == '}' || *p == ';' || *p == '\0')
        return false;
    return b.blocks.empty() || b.blocks.back().place != BlockKind::memory;
}

// Can what stands at the start of a line only belong to the line before it?
bool goes_on_before(const TreeBuilder& b, const char* p) {
    const std::string_view word = lexical::word_at(p);
    const bool in_firing = !b.blocks.empty() && b.blocks.back().place == BlockKind::firing;
    return word == "otherwise" || word == "else" || (word == "because" && in_firing) ||
           starts_nothing(b, p);
}

// Does the line at `p` close more brackets than it opens?
bool closes_bracket(const char* p) {
    int open = 0;
    for (; *p != '\n' && *p != '\0' && *p != '#' && *p != '{' && *p != '}'; ++p) {
        if (*p == '"') {
            p = past_text(p) - 1;
        } else if (*p == '(' || *p == '[') {
            ++open;
        } else if ((*p == ')' || *p == ']') && --open < 0) {
            return true;
        }
    }
    return false;
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

} // namespace

std::ptrdiff_t indent(const TreeBuilder& b, const char* p) {
    std::ptrdiff_t width = 0;
    for (const char* c = line_start(b, p); *c == ' ' || *c == '\t'; ++c)
        width += *c == ' ' ? 1 : 4;
    return width;
}

bool first_on_line(const TreeBuilder& b, const char* p) {
    while (p > b.begin && (lexical::class_of(p[-1]) & lexical::is_blank))
        --p;
    return p == b.begin || p[-1] == '\n';
}

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
    if (b.looks_ahead < 0)
        return lexical::to_line_end(p);
    const char* const close = skip_block(b, p + 1);
    b.looks_ahead -= close - p;
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
            const bool goes_on = open > 0 || goes_on_behind(b.begin, p) || goes_on_before(b, next);
            if (open == 0 && !goes_on)
                return p;
            if (line_end == nullptr)
                line_end = p;
            const bool other = !goes_on_before(b, next) && starts_statement(next) &&
                               !(open > 0 && closes_bracket(next));
            if (*next == '\0' || other)
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
    if (word.empty() || word == "else" || lexical::is_reserved(word) || lexical::cone_at(p) != 0)
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
    return !goes_on_with(second);
}

bool goes_on_with(std::string_view word) {
    static constexpr std::string_view words[] = {"keeps", "breaks", "waiting", "with",
                                                 "times", "freely", "opened",  "in",
                                                 "on",    "as",     "every",   "full"};
    return lexical::is_reserved(word) ||
           std::find(std::begin(words), std::end(words), word) != std::end(words);
}

const char* past_lines_in_brackets(const char* p) {
    const char* const next = lexical::skip_gap(p);
    return *next == '\0' || (starts_statement(next) && !closes_bracket(next)) ? p : next;
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

// --- blocks -------------------------------------------------------------------------------------

namespace {

// A statement of the block around an inner one.
bool belongs_outside(const TreeBuilder& b, BlockKind place, std::string_view word) {
    if (!is_inner_block(place) || b.blocks.size() < 2 || word.empty())
        return false;
    const BlockKind around = b.blocks[b.blocks.size() - 2].place;
    const bool own = is_word_of(place, word) || word == "body" || word == "glaze";
    return is_word_of(around, word) && !own;
}

bool is_profile_word(std::string_view word) {
    return word == "body" || word == "kiln" || word == "glaze" || word == "controller" ||
           word == "tariff" || word == "studio" || word == "material" || word == "insulation";
}

// ")" alone on a line, where "}" should close the block.
bool closes_wrongly(TreeBuilder& b, const char* p) {
    const char* const behind = lexical::skip_blank(p + 1);
    if ((*behind != '\n' && *behind != '\0') || missing_braces(b) <= 0)
        return false;
    b.report(DiagnosticKind::stray_bracket, p, p + 1,
             fmt::format("`{}` stands where `}}` should close the block", *p))
        .mend("write `}`", b.span(p, p + 1), "}");
    --b.missing_braces;
    b.wrong_close = p;
    return true;
}

bool may_start(BlockKind place, const char* p) {
    const std::string_view word = lexical::word_at(p);
    if (place == BlockKind::memory)
        return lexical::digit(*p);
    if (takes_fields(place) || place == BlockKind::recipe)
        return !word.empty() && !lexical::is_reserved(word);
    return is_word_of(place, word);
}

} // namespace

bool ends_block_slow(TreeBuilder& b, BlockKind place, const char* p) {
    if (*p == ')' || *p == ']')
        return closes_wrongly(b, p);
    const std::string_view word = lexical::word_at(p);
    const char* const next = lexical::skip_spaces(p + word.size());
    if (next == p + word.size())
        return false;
    if (belongs_outside(b, place, word) && missing_braces(b) > 0)
        return true;
    const bool among_steps = place == BlockKind::steps && word == "phase";
    if (!among_steps && (p[-1] != '\n' || !is_word_of(BlockKind::file, word)))
        return false;
    if ((*next != '"' && lexical::after_word(next) == next) || missing_braces(b) <= 0)
        return false;
    if (among_steps || (!takes_fields(place) && !is_word_of(place, word)))
        return true;
    if (is_profile_word(word))
        return line_opens_block(p);
    return b.blocks.back().indented || takes_fields(place);
}

bool means_a_block(TreeBuilder& b, const char* p) {
    if (*p != '\n')
        return *p != ';' && *p != '}' && *p != '{' && *p != '\0';
    const char* const next = lexical::skip_gap(p);
    return *next != '{' && *next != '\0' && indent(b, next) > indent(b, b.statement) &&
           missing_braces(b) < 0;
}

const char* start_without_brace(TreeBuilder& b, BlockKind place, const char* p) {
    if (!b.block_required || *p == '\0')
        return nullptr;
    const bool one_missing = missing_braces(b) < 0; // in the file: it must be this one
    const bool same_line = std::find(b.token_end, p, '\n') == p;
    const char* start = p;
    if (*p == '}') { // an empty block
        if (!one_missing)
            return nullptr;
    } else if (same_line) {
        if (!one_missing)
            return nullptr;
        if (!may_start(place, p)) { // "@ soak 5m"
            start = lexical::skip_blank(p + token_at(p).size());
            if (!may_start(place, start)) {
                while (*start != '\n' && *start != '}' && *start != '\0')
                    ++start;
            }
        }
    } else if (!may_start(place, p) ||
               (!one_missing && (takes_fields(place) || indent(b, p) <= indent(b, b.statement)))) {
        return nullptr;
    }
    if (!b.panic)
        (void)report_missing(b, Missing::block, same_line ? p : lexical::skip_blank(b.token_end));
    ++b.missing_braces;
    return start;
}

bool enter_block(TreeBuilder& b, BlockKind place, const char* brace, const char* owner) {
    const char* const first = lexical::skip_gap(*brace == '{' ? brace + 1 : brace);
    b.blocks.push_back({brace, owner, place, first_on_line(b, first) && indent(b, first) > 0});
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
    if (p == b.wrong_close)
        return p + 1;
    const bool opened = *block.brace == '{';
    if (!opened && *p == '}' && first_on_line(b, p) && indent(b, p) < indent(b, block.owner)) {
        --b.missing_braces; // it closes a block further out
        return p;
    }
    if (*p == '}') {
        if (first_on_line(b, p) && indent(b, p) < indent(b, block.owner)) {
            b.suspect_brace = block.brace;
            b.suspect_close = p;
        }
        return p + 1;
    }
    if (b.missing_brace_told || !opened) {
        --b.missing_braces;
        return p;
    }
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
    (void)missing_braces(b);
    if (b.strays_told > 0) {
        --b.strays_told;
        return p + 1;
    }
    ++b.missing_braces;
    b.report(DiagnosticKind::stray_brace, p, p + 1, "this `}` closes nothing")
        .mend("leave it out, or look for a `{` that is missing above it", b.span(p, p + 1), "");
    return p + 1;
}

} // namespace fettle
