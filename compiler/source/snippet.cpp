#include "compiler/source/snippet.h"

#include "compiler/source/characters.h"

#include <algorithm>
#include <fmt/format.h>
#include <map>
#include <vector>

namespace fettle {

namespace {

constexpr std::size_t tab_stop = 4;
constexpr std::uint32_t most_lines = 4; // of one mark; longer ones show both ends
constexpr std::size_t reach = 2048;     // bytes of a long line that are looked at
constexpr std::string_view cut_sign = "...";

std::string_view escape_sequence(Paint paint) {
    switch (paint) {
    case Paint::plain: return "";
    case Paint::strong: return "\x1b[1m";
    case Paint::error: return "\x1b[1;31m";
    case Paint::caution: return "\x1b[1;33m";
    case Paint::advice: return "\x1b[1;36m";
    case Paint::frame: return "\x1b[34m";
    case Paint::aside: return "\x1b[36m";
    case Paint::mend: return "\x1b[32m";
    }
    return "";
}

// A mark's part of one line, in bytes of the line.
struct Part {
    const Mark* mark = nullptr;
    std::size_t begin = 0;
    std::size_t end = 0;
    bool has_label = false;
};

// A character of a line: where it comes from and where it is shown.
struct Cell {
    std::size_t source = 0; // byte in the line
    std::size_t shown = 0;  // byte in `Shown::text`
    std::size_t column = 0;
};

struct Shown {
    std::string text;
    std::vector<Cell> cells; // one a character, and one for the end
};

Shown show(std::string_view line, std::size_t from, std::size_t to) {
    Shown shown;
    std::size_t column = 0;
    std::string_view rest = line.substr(from, to - from);
    while (!rest.empty()) {
        const Character character = first_character(rest);
        const std::string_view bytes = rest.substr(0, character.length);
        const bool joins = !shown.cells.empty() && display_width(bytes) == 0;
        shown.cells.push_back(
            {to - rest.size(), shown.text.size(), joins ? shown.cells.back().column : column});
        if (character.code == '\t') {
            const std::size_t blanks = tab_stop - column % tab_stop;
            shown.text.append(blanks, ' ');
            column += blanks;
        } else {
            shown.text += visible(bytes);
            column += display_width(bytes);
        }
        rest.remove_prefix(character.length);
    }
    shown.cells.push_back({to, shown.text.size(), column});
    return shown;
}

std::size_t column_of(const Shown& shown, std::size_t source) {
    // The last character that starts at or before it; a combining mark counts to its base.
    const auto after =
        std::upper_bound(shown.cells.begin(), shown.cells.end(), source,
                         [](std::size_t s, const Cell& cell) { return s < cell.source; });
    return after == shown.cells.begin() ? 0 : std::prev(after)->column;
}

// A mark's part in columns of what is printed.
struct Strip {
    const Mark* mark = nullptr;
    std::size_t begin = 0;
    std::size_t end = 0; // at least begin + 1
    bool has_label = false;
};

struct PrintedLine {
    std::string text;
    std::vector<Strip> strips;
};

std::size_t back_to_character(std::string_view line, std::size_t at) {
    while (at > 0 && at < line.size() && (static_cast<unsigned char>(line[at]) & 0xC0U) == 0x80U) {
        --at;
    }
    return at;
}

struct Window {
    std::size_t first;
    std::size_t last;
};

// The columns to print of a line that is too wide: all marks if they fit, else the first mark.
Window choose_window(const std::vector<Strip>& strips, std::size_t total, std::size_t width) {
    std::size_t begin = strips.front().begin;
    std::size_t end = strips.front().end;
    for (const Strip& strip : strips) {
        const std::size_t low = std::min(begin, strip.begin);
        const std::size_t high = std::max(end, strip.end);
        if (high - low <= width) {
            begin = low;
            end = high;
        }
    }
    const std::size_t spare = width > end - begin ? width - (end - begin) : 0;
    std::size_t first = begin > spare / 3 ? begin - spare / 3 : 0;
    if (first + width > total) {
        first = total > width ? total - width : 0;
    }
    return {std::min(first, begin), std::min(first, begin) + width};
}

// Cuts what lies outside of the window away and moves the marks along.
void cut(PrintedLine& line, const Shown& shown, Window window, bool more_before, bool more_after) {
    const auto from = std::find_if(shown.cells.begin(), shown.cells.end(),
                                   [&](const Cell& cell) { return cell.column >= window.first; });
    auto to = std::find_if(from, shown.cells.end(),
                           [&](const Cell& cell) { return cell.column > window.last; });
    to = to == from ? from : std::prev(to);
    const std::string_view before = more_before || from->shown != 0 ? cut_sign : "";
    const std::string_view after = more_after || to->shown != shown.text.size() ? cut_sign : "";
    line.text = std::string(before) + shown.text.substr(from->shown, to->shown - from->shown) +
                std::string(after);
    const std::size_t base = from->column;
    const std::size_t limit = to->column;
    for (Strip& strip : line.strips) {
        const std::size_t begin = std::clamp(strip.begin, base, std::max(base, limit));
        const std::size_t end = std::clamp(strip.end, base, std::max(base, limit));
        strip.begin = begin - base + before.size();
        strip.end = std::max(end - base + before.size(), strip.begin + 1);
    }
}

PrintedLine print_line(std::string_view line, const std::vector<Part>& parts, std::size_t width) {
    std::size_t from = 0;
    std::size_t to = line.size();
    if (line.size() > 2 * reach) {
        const std::size_t focus = parts.front().begin;
        from = back_to_character(line, focus > reach ? focus - reach : 0);
        to = back_to_character(line, std::min(line.size(), focus + reach));
    }
    const Shown shown = show(line, from, to);
    PrintedLine printed;
    for (const Part& part : parts) {
        const std::size_t begin = column_of(shown, part.begin);
        const std::size_t end = column_of(shown, part.end);
        printed.strips.push_back({part.mark, begin, std::max(end, begin + 1), part.has_label});
    }
    const std::size_t total = shown.cells.back().column;
    if (from == 0 && to == line.size() && total <= width) {
        printed.text = shown.text;
        return printed;
    }
    const std::size_t inner = std::max<std::size_t>(width, 20) - 2 * cut_sign.size();
    cut(printed, shown, choose_window(printed.strips, total, inner), from != 0, to != line.size());
    return printed;
}

void append_gutter(Painter& painter, std::string_view number, const SnippetFrame& frame) {
    painter.put(fmt::format("{:>{}} |", number, frame.gutter), Paint::frame);
}

// "|" below every strip with a label that starts left of `column`.
std::size_t append_stems(Painter& painter, const std::vector<const Strip*>& labelled,
                         std::size_t column) {
    std::size_t at = 0;
    for (auto strip = labelled.rbegin(); strip != labelled.rend(); ++strip) {
        const std::size_t begin = (*strip)->begin;
        if (begin < column && begin >= at) {
            painter.fill(begin - at, ' ').put("|", (*strip)->mark->paint);
            at = begin + 1;
        }
    }
    return at;
}

// The rows below a line: the marks, then the labels that have no room behind them.
void append_marks(Painter& painter, const std::vector<Strip>& strips, const SnippetFrame& frame) {
    std::vector<const Mark*> row;
    std::vector<const Strip*> labelled; // the rightmost first
    for (auto strip = strips.rbegin(); strip != strips.rend(); ++strip) {
        if (strip->has_label) {
            labelled.push_back(&*strip);
        }
        if (strip->mark->sign != ' ') {
            row.resize(std::max(row.size(), strip->end));
            std::fill(row.begin() + static_cast<std::ptrdiff_t>(strip->begin),
                      row.begin() + static_cast<std::ptrdiff_t>(strip->end), strip->mark);
        }
    }
    if (row.empty()) {
        return;
    }
    std::stable_sort(labelled.begin(), labelled.end(),
                     [](const Strip* a, const Strip* b) { return a->begin > b->begin; });
    append_gutter(painter, "", frame);
    painter.put(" ");
    for (auto at = row.begin(); at != row.end();) {
        const auto next = std::find_if(at, row.end(), [&](const Mark* m) { return m != *at; });
        painter.fill(static_cast<std::size_t>(next - at), *at == nullptr ? ' ' : (*at)->sign,
                     *at == nullptr ? Paint::plain : (*at)->paint);
        at = next;
    }
    if (!labelled.empty() && labelled.front()->end == row.size()) {
        painter.put(" ").put(labelled.front()->mark->label, labelled.front()->mark->paint);
        labelled.erase(labelled.begin());
    }
    painter.line();
    if (!labelled.empty()) {
        append_gutter(painter, "", frame);
        painter.put(" ");
        append_stems(painter, labelled, labelled.front()->begin + 1);
        painter.line();
    }
    for (const Strip* strip : labelled) {
        append_gutter(painter, "", frame);
        painter.put(" ");
        const std::size_t at = append_stems(painter, labelled, strip->begin);
        painter.fill(strip->begin - at, ' ').put(strip->mark->label, strip->mark->paint).line();
    }
}

using Lines = std::map<std::uint32_t, std::vector<Part>>;

void add_part(Lines& lines, const SourceFile& file, const Mark& mark, std::uint32_t number,
              bool last) {
    const std::string_view text = file.line(number);
    const std::uint32_t start = file.line_start(number);
    std::size_t begin = mark.begin > start ? mark.begin - start : 0;
    begin = std::min(begin, text.size());
    const std::size_t end =
        std::clamp<std::size_t>(mark.end > start ? mark.end - start : 0, begin, text.size());
    if (mark.begin < start) { // a further line of a long mark: without its indentation
        const std::size_t ink = text.find_first_not_of(" \t");
        begin = ink == std::string_view::npos ? 0 : std::min(ink, end);
    }
    lines[number].push_back({&mark, begin, end, last && !mark.label.empty()});
}

Lines lines_of(const SourceFile& file, std::span<const Mark> marks) {
    Lines lines;
    for (const Mark& mark : marks) {
        const std::uint32_t first = file.line_of(mark.begin);
        const std::uint32_t last =
            mark.end > mark.begin ? std::max(first, file.line_of(mark.end - 1)) : first;
        for (std::uint32_t number = first; number <= last; ++number) {
            if (last - first < most_lines || number < first + 2 || number == last) {
                add_part(lines, file, mark, number, number == last);
            } else {
                number = last - 1;
            }
        }
    }
    return lines;
}

} // namespace

Painter& Painter::put(std::string_view text, Paint paint) {
    const bool painted = colour_ && paint != Paint::plain && !text.empty();
    out_ += painted ? escape_sequence(paint) : std::string_view();
    out_ += text;
    out_ += painted ? std::string_view("\x1b[0m") : std::string_view();
    return *this;
}

Painter& Painter::fill(std::size_t count, char with, Paint paint) {
    return put(std::string(count, with), paint);
}

Painter& Painter::line() {
    out_.erase(out_.find_last_not_of(' ') + 1);
    out_ += '\n';
    return *this;
}

void append_bar(Painter& painter, const SnippetFrame& frame) {
    append_gutter(painter, "", frame);
    painter.line();
}

void append_gap(Painter& painter, const SnippetFrame& frame) {
    painter.put(fmt::format("{:>{}}", cut_sign, frame.gutter + 2), Paint::frame).line();
}

void append_snippet(Painter& painter, const SourceFile& file, std::span<const Mark> marks,
                    const SnippetFrame& frame) {
    const std::size_t frame_width = frame.gutter + 3;
    const std::size_t width = frame.width > frame_width + 20 ? frame.width - frame_width : 20;
    std::uint32_t previous = 0;
    for (const auto& [number, parts] : lines_of(file, marks)) {
        if (previous != 0 && number > previous + 1) {
            append_gap(painter, frame);
        }
        previous = number;
        const PrintedLine printed = print_line(file.line(number), parts, width);
        append_gutter(painter, fmt::format("{}", number + frame.line_shift), frame);
        painter.put(" ").put(printed.text).line();
        append_marks(painter, printed.strips, frame);
    }
}

} // namespace fettle
