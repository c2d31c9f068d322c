#include "compiler/output/page.h"

#include "compiler/source/characters.h"

#include <algorithm>

namespace fettle {

namespace {

// The usual sixteen colours, so that they follow the reader's own theme.
constexpr std::string_view ink_codes[] = {"", "\x1b[1m", "\x1b[2m", "\x1b[33m", "\x1b[1;31m"};

// "cone 05½" as "cone 05.5".
std::string with_ascii_halves(std::string_view text) {
    constexpr std::string_view half = "½";
    std::string changed(text);
    for (std::size_t at = changed.find(half, 1); at != std::string::npos;
         at = changed.find(half, at + 1)) {
        if (changed[at - 1] >= '0' && changed[at - 1] <= '9')
            changed.replace(at, half.size(), ".5");
    }
    return changed;
}

} // namespace

void Page::line(std::string_view safe_text, Ink ink) {
    const std::string_view code = colour_ ? ink_codes[static_cast<std::size_t>(ink)] : "";
    safe_text = safe_text.substr(0, safe_text.find_last_not_of(' ') + 1);
    text_ += code;
    text_ += isolated(ascii_ ? with_ascii_halves(safe_text) : std::string(safe_text));
    if (!code.empty()) {
        text_ += "\x1b[0m";
    }
    text_ += '\n';
}

void Page::paragraph(std::size_t indent, std::string_view first, std::string_view text, Ink ink) {
    const std::size_t hang = indent + display_width(first);
    const std::size_t room = std::max<std::size_t>(width_ > hang ? width_ - hang : 0, 10);
    std::string start = std::string(indent, ' ') + std::string(first);
    for (const std::string& part : wrapped(text, room)) {
        line(start + part, ink);
        start.assign(hang, ' ');
    }
}

void Page::two_ends(std::string_view safe_left, std::string_view safe_right, Ink ink) {
    const std::size_t left = display_width(safe_left), right = display_width(safe_right);
    if (left + right + 2 <= width_) {
        return line(std::string(safe_left) + right_in(safe_right, width_ - left), ink);
    }
    paragraph(0, "", safe_left, ink);
    if (right > 0) {
        paragraph(width_ > right ? width_ - right : 0, "", safe_right, ink);
    }
}

void Page::rule() {
    std::string across;
    for (std::size_t i = 0; i < width_; ++i) {
        across += ascii_ ? "-" : "─";
    }
    line(across, Ink::faint);
}

} // namespace fettle
