#include "compiler/output/side_by_side.h"

#include "compiler/source/characters.h"

#include <algorithm>
#include <fmt/format.h>

namespace fettle {

namespace {

constexpr std::size_t gap = 2; // before each of the two columns
constexpr std::size_t mark_width = 2;

} // namespace

SideBySide::SideBySide(Page& page)
    : page_(page), label_width_(page.width() < 72 ? 14 : 18),
      width_((page.width() - label_width_ - 2 * gap) / 2) {}

SideBySide::Lines SideBySide::fitted(const Lines& lines) const {
    Lines fitted;
    for (const std::string& line : lines) {
        const std::string safe = one_line(line);
        if (display_width(safe) <= width_) {
            fitted.push_back(safe); // with the spaces that put its parts into columns
            continue;
        }
        const auto parts = wrapped(line, width_);
        fitted.insert(fitted.end(), parts.begin(), parts.end());
    }
    return fitted;
}

void SideBySide::put(std::string_view label, const Lines& a, const Lines& b, bool marked, Ink ink) {
    const Lines left = fitted(a), right = fitted(b);
    const Lines labels = wrapped(label, label_width_ - mark_width);
    const auto at = [](const Lines& lines, std::size_t i) {
        return i < lines.size() ? lines[i] : std::string();
    };
    const std::size_t count = std::max({left.size(), right.size(), labels.size()});
    const std::string space(gap, ' ');
    for (std::size_t i = 0; i < count; ++i) {
        const std::string mark = marked && i == 0 ? "* " : "  ";
        page_.line(mark + left_in(at(labels, i), label_width_ - mark_width) + space +
                       left_in(at(left, i), width_) + space + at(right, i),
                   ink);
    }
    any_difference_ = any_difference_ || marked;
}

void SideBySide::headings(std::string_view a, std::string_view b) {
    put("", {shortened(one_line(a), width_, page_.ascii())},
        {shortened(one_line(b), width_, page_.ascii())}, false, Ink::strong);
    page_.rule();
}

SideBySide::Lines SideBySide::or_dash(const Lines& lines) const {
    return lines.empty() ? Lines{page_.ascii() ? "-" : "–"} : lines;
}

void SideBySide::row(std::string_view label, const Lines& a, const Lines& b) {
    if (a.empty() && b.empty())
        return;
    const bool differs = a != b;
    put(label, or_dash(a), or_dash(b), differs, differs ? Ink::plain : Ink::faint);
}

void SideBySide::unmarked_row(std::string_view label, const Lines& a, const Lines& b) {
    put(label, or_dash(a), or_dash(b), false, Ink::plain);
}

void SideBySide::row(std::string_view label, std::string_view a, std::string_view b) {
    const auto lines = [](std::string_view text) {
        return text.empty() ? Lines{} : Lines{std::string(text)};
    };
    row(label, lines(a), lines(b));
}

void SideBySide::heading_row(std::string_view label, std::string_view a, std::string_view b) {
    put(label, {std::string(a)}, {std::string(b)}, a != b, Ink::strong);
}

} // namespace fettle
