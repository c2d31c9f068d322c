// A page of text for a terminal: lines of bounded width, emphasis that can be left out. Pages of
// HTML are made with html_page.h.
#pragma once

#include "compiler/output/columns.h"

#include <string>
#include <string_view>

namespace fettle {

enum class Ink : std::uint8_t { plain, strong, faint, caution, error };

class Page {
  public:
    Page(std::size_t width, bool ascii, bool colour)
        : width_(width), ascii_(ascii), colour_(colour) {}

    std::size_t width() const { return width_; }
    bool ascii() const { return ascii_; }

    // One line. `safe_text` holds nothing that a terminal obeys, and fits.
    void line(std::string_view safe_text, Ink ink = Ink::plain);
    void blank() { text_ += '\n'; }
    // Any text, wrapped; `first` (such as "note: ") stands before it and its width is the indent of
    // the further lines, after `indent` columns.
    void paragraph(std::size_t indent, std::string_view first, std::string_view text,
                   Ink ink = Ink::plain);
    // `safe_left` at the left edge and `safe_right` at the right one; on two lines where they do
    // not fit on one.
    void two_ends(std::string_view safe_left, std::string_view safe_right, Ink ink);
    void rule(); // a line across

    std::string take() && { return std::move(text_); }

  private:
    std::string text_;
    std::size_t width_;
    bool ascii_, colour_;
};

} // namespace fettle
