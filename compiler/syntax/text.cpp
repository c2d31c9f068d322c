#include "compiler/syntax/text.h"

#include "compiler/syntax/recovery.h"

#include <fmt/format.h>
#include <string>
#include <string_view>

namespace fettle {
namespace {

constexpr std::string_view long_quote = "\"\"\"";
constexpr std::string_view curly_open = "“", curly_close = "”", low_open = "„";

// Past a backslash and what it escapes. There are `\"`, `\\`, `\n`, `\{` and `\}`.
const char* after_escape(TreeBuilder& b, const char* p) {
    const char c = p[1];
    if (c == '"' || c == '\\' || c == 'n' || c == '{' || c == '}')
        return p + 2;
    b.report(DiagnosticKind::unknown_escape, p, p + 1,
             "a `\\` in a text stands only before `\"`, `\\`, `n` or `{`")
        .mend("double it to print it", b.span(p, p), "\\");
    return p + 1;
}

// The last character of the line that is neither blank nor, behind a title, the '{' of a block.
const char* end_without_quote(const TreeBuilder& b, const char* p) {
    const char* end = lexical::to_line_end(p);
    const auto trim = [&] {
        while (end > p && (lexical::class_of(end[-1]) & lexical::is_blank))
            --end;
    };
    trim();
    if (b.header && end > p && end[-1] == '{') {
        --end;
        trim();
    }
    return end;
}

// The quote that closes the text that starts at `p`, on its line; null if there is none. Quotes
// inside computed parts come in pairs, so they do not matter to the answer.
const char* closing_quote(const char* p, std::string_view quote) {
    for (; *p != '\n' && *p != '\0'; ++p) {
        if (*p == '\\' && p[1] != '\n' && p[1] != '\0') {
            ++p;
        } else if (lexical::starts(p, quote)) {
            return p;
        }
    }
    return nullptr;
}

const char* open_curly(TreeBuilder& b, const char* p) {
    const std::size_t length = curly_open.size();
    const char* const inside = p + length;
    const char* end = closing_quote(inside, curly_close);
    if (end == nullptr)
        end = closing_quote(inside, curly_open);
    const char* const straight = closing_quote(inside, "\"");
    if (straight != nullptr && (end == nullptr || straight < end))
        end = straight;
    const bool closed = end != nullptr;
    if (!closed)
        end = end_without_quote(b, inside);
    const char* const after = !closed ? end : *end == '"' ? end + 1 : end + curly_close.size();
    Mend mend;
    mend.text = "write straight quotes";
    mend.edits.push_back({b.span(p, inside), "\""});
    mend.edits.push_back({b.span(end, after), "\""});
    b.report(DiagnosticKind::unusual_quotes, p, after,
             "a text stands in straight quotes, \"like this\"")
        .mends.push_back(std::move(mend));
    b.text_end = end;
    return inside;
}

const char* open_long(TreeBuilder& b, const char* p) {
    const char* const inside = p + long_quote.size();
    b.long_text = true;
    const char* end = std::strstr(inside, long_quote.data());
    if (end == nullptr) {
        end = next_declaration(b, inside);
        while (end > inside && (end[-1] == '\n' || end[-1] == ' ' || end[-1] == '\r'))
            --end;
        b.report(DiagnosticKind::missing_quote, p, inside,
                 "this text is not closed: `\"\"\"` is missing at its end")
            .mend("put `\"\"\"` where the text ends", b.span(end, end), "\"\"\"");
    }
    b.text_end = end;
    return inside;
}

} // namespace

TextState save_text(const TreeBuilder& b) {
    return {b.text_end, b.long_text, b.in_text, b.brackets, nullptr};
}

void restore_text(TreeBuilder& b, const TextState& saved) {
    b.text_end = saved.text_end;
    b.long_text = saved.long_text;
    b.in_text = saved.in_text;
    b.brackets = saved.brackets;
}

const char* open_text(TreeBuilder& b, const char* p) {
    b.text_end = nullptr;
    b.long_text = false;
    if (*p != '"')
        return open_curly(b, p);
    if (p[1] == '"' && p[2] == '"')
        return open_long(b, p);
    if (closing_quote(p + 1, "\"") == nullptr) {
        b.text_end = end_without_quote(b, p + 1);
        b.report(DiagnosticKind::missing_quote, p, b.text_end,
                 "this text is not closed: `\"` is missing at its end")
            .mend("put `\"` where the text ends", b.span(b.text_end, b.text_end), "\"");
    }
    return p + 1;
}

const char* after_text_part(TreeBuilder& b, const char* p) {
    if (b.text_end != nullptr) {
        while (p < b.text_end && *p != '{') {
            p = *p == '\\' && p + 1 < b.text_end ? after_escape(b, p) : p + 1;
        }
        return p;
    }
    for (;;) {
        switch (*p) {
        case '"':
        case '{':
        case '\n':
        case '\0': return p;
        case '\\': p = after_escape(b, p); break;
        default: ++p;
        }
    }
}

const char* close_text(TreeBuilder& b, const char* p) {
    if (b.long_text)
        return lexical::starts(p, long_quote) ? p + long_quote.size() : p;
    if (*p == '"')
        return p + 1;
    if (b.text_end != nullptr) {
        for (const std::string_view quote : {curly_close, curly_open, low_open}) {
            if (lexical::starts(p, quote))
                return p + quote.size();
        }
        return p;
    }
    // Its last quote belonged to a text inside a computed part.
    b.report(DiagnosticKind::missing_quote, p, p, "this text is not closed: `\"` is missing here")
        .mend("put `\"` here", b.span(p, p), "\"");
    return p;
}

TextState enter_computed(TreeBuilder& b) {
    const TextState saved = save_text(b);
    b.in_text = true;
    b.brackets = 0;
    return saved;
}

const char* leave_computed(TreeBuilder& b, const TextState& saved, const char* open,
                           const char* p) {
    restore_text(b, saved);
    if (*p == '}') {
        b.panic = false;
        return p + 1;
    }
    if (!b.panic) {
        b.report(DiagnosticKind::missing_bracket, open, open + 1,
                 "this `{` in a text is not closed: a computed part is `{name}`")
            .mend("put `}` behind the part", b.span(b.token_end, b.token_end), "}")
            .mend("to print a brace, write `\\{`", b.span(open, open), "\\");
    }
    b.panic = false;
    // The rest of the part is text again.
    return b.token_end > open ? b.token_end : p;
}

} // namespace fettle
