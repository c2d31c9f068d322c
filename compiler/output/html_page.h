// One self-contained HTML page: head, the look that all pages of Fettle share, and how texts are
// put into it. It needs no script and no other file, prints on A4 and Letter, and is read on a
// phone.
//
// The look (page.css): ink on porcelain white with one accent, cobalt; a serif for titles, a plain
// sans for the rest, figures of one width. Nothing is told by colour alone. Classes that any page
// may use: `mark` (the small line above a title), `lead`, `figures` (a list of dt and dd side by
// side), `columns` (two columns where there is room), `table` with `n` for cells of numbers,
// `box` (a square to tick), `sign` (a line to sign on), `write` (an empty cell to write into),
// `screen`, `paper`, `wide` and `narrow` (shown there only).
#pragma once

#include <string>
#include <string_view>

namespace fettle {

// Appends any text for an element or a quoted attribute, of HTML or of SVG: escaped, control
// characters and marks that turn the direction of text spelled out ("<U+001B>"), line ends as
// spaces.
void append_escaped(std::string& html, std::string_view text);
std::string escaped(std::string_view text);

// The same for an element of HTML, kept apart from what stands beside it where it has letters that
// run from right to left.
void append_text(std::string& html, std::string_view text);
std::string html_text(std::string_view text);

struct HtmlPage {
    std::string_view title;      // of the window; plain text
    std::string_view body_class; // "card"; empty: none
    std::string_view style;      // further CSS of this kind of page; empty: none
};

// Appends the page up to `<main>`, and what closes it again.
void open_page(std::string& html, const HtmlPage& page);
void close_page(std::string& html);

// A style sheet of compiler/output, by its name without ".css".
std::string_view style_sheet(std::string_view name);

} // namespace fettle
