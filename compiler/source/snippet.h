// Source lines with marks below them, as they stand in a message.
#pragma once

#include "compiler/source/source_file.h"

#include <cstddef>
#include <cstdint>
#include <span>
#include <string>
#include <string_view>

namespace fettle {

// What a piece of a message is; each has a colour where colours are wanted.
enum class Paint : std::uint8_t { plain, strong, error, caution, advice, frame, aside, mend };

class Painter {
  public:
    Painter(std::string& out, bool colour) : out_(out), colour_(colour) {}
    Painter& put(std::string_view text, Paint paint = Paint::plain);
    Painter& fill(std::size_t count, char with, Paint paint = Paint::plain);
    Painter& line(); // ends the line, without blanks at its end

  private:
    std::string& out_;
    bool colour_;
};

struct Mark {
    std::uint32_t begin = 0; // bytes of the text; an empty range marks the place itself
    std::uint32_t end = 0;
    char sign = '^'; // a blank shows the line and no mark
    Paint paint = Paint::plain;
    std::string label; // one line, safe for a terminal; behind or below the mark
};

struct SnippetFrame {
    std::size_t gutter = 2;       // columns for line numbers
    std::size_t width = 100;      // columns of the terminal
    std::uint32_t line_shift = 0; // added to the line numbers
};

// The lines that the marks are in, in order, with "..." where lines are left out. Marks that come
// first are drawn over later ones.
void append_snippet(Painter& painter, const SourceFile& file, std::span<const Mark> marks,
                    const SnippetFrame& frame);

// "   |", with nothing behind it.
void append_bar(Painter& painter, const SnippetFrame& frame);

// "...", where lines are left out.
void append_gap(Painter& painter, const SnippetFrame& frame);

} // namespace fettle
