#include "compiler/output/columns.h"

#include "compiler/source/characters.h"

#include <algorithm>

namespace fettle {

namespace {

bool runs_right_to_left(char32_t code) {
    return (code >= 0x590 && code <= 0x8FF) || (code >= 0xFB1D && code <= 0xFDFF) ||
           (code >= 0xFE70 && code <= 0xFEFC) || (code >= 0x10800 && code <= 0x10FFF) ||
           (code >= 0x1E800 && code <= 0x1EFFF);
}

bool runs_left_to_right(char32_t code) {
    const bool ascii_letter = (code >= 'A' && code <= 'Z') || (code >= 'a' && code <= 'z');
    return ascii_letter || (code >= 0xC0 && !runs_right_to_left(code) && display_width(code) > 0);
}

// Bytes of the longest front of `text` that fits into `width` columns; at least one character.
std::size_t front_that_fits(std::string_view text, std::size_t width) {
    std::size_t bytes = 0, columns = 0;
    while (bytes < text.size()) {
        const Character character = first_character(text.substr(bytes));
        columns += static_cast<std::size_t>(display_width(character.code));
        if (columns > width && bytes > 0) {
            break;
        }
        bytes += character.length;
    }
    return bytes;
}

// Up to the first space; of a word longer than `most` bytes about so many, in whole characters, so
// that one endless word is not searched to its end again for every line.
std::string_view front_word(std::string_view text, std::size_t most) {
    while (most < text.size() && (static_cast<unsigned char>(text[most]) & 0xC0) == 0x80) {
        ++most;
    }
    const std::string_view front = text.substr(0, most);
    return front.substr(0, front.find(' '));
}

// Whether the word fits behind what takes up `used` columns; looks no further than it must.
bool fits(std::string_view word, std::size_t width, std::size_t used) {
    if (used >= width) {
        return false;
    }
    const std::size_t front = front_that_fits(word, width - used);
    return front == word.size() && display_width(word) <= width - used;
}

} // namespace

std::string one_line(std::string_view text) {
    std::string line = visible(text);
    std::replace(line.begin(), line.end(), '\n', ' ');
    return line;
}

std::vector<std::string> wrapped(std::string_view text, std::size_t width) {
    const std::string safe = one_line(text);
    std::string_view rest = safe;
    std::vector<std::string> lines;
    std::string line;
    while (true) {
        rest.remove_prefix(std::min(rest.find_first_not_of(' '), rest.size()));
        if (rest.empty()) {
            break;
        }
        std::string_view word = front_word(rest, 16 * width + 64);
        const std::size_t gap = line.empty() ? 0 : 1;
        if (fits(word, width, display_width(line) + gap)) {
            if (gap) {
                line += ' ';
            }
            line += word;
        } else if (!line.empty()) {
            lines.push_back(std::move(line));
            line.clear();
            continue;
        } else {
            word = word.substr(0, front_that_fits(word, width));
            line = word;
        }
        rest.remove_prefix(word.size());
    }
    if (!line.empty() || lines.empty()) {
        lines.push_back(std::move(line));
    }
    return lines;
}

std::string shortened(std::string_view safe_text, std::size_t width, bool ascii) {
    if (display_width(safe_text) <= width) {
        return std::string(safe_text);
    }
    const std::string_view mark = ascii ? "..." : "…";
    const std::size_t mark_width = ascii ? 3 : 1;
    if (width <= mark_width) {
        return std::string(width, '.');
    }
    std::string text(safe_text.substr(0, front_that_fits(safe_text, width - mark_width)));
    return text += mark;
}

std::string left_in(std::string_view safe_text, std::size_t width) {
    const std::size_t used = display_width(safe_text);
    return std::string(safe_text) + std::string(width > used ? width - used : 0, ' ');
}

std::string right_in(std::string_view safe_text, std::size_t width) {
    const std::size_t used = display_width(safe_text);
    return std::string(width > used ? width - used : 0, ' ') + std::string(safe_text);
}

std::string isolated(std::string_view safe_text) {
    constexpr std::string_view open = "\u2067", close = "\u2069";
    std::string text;
    std::size_t run_begin = 0, run_end = 0; // bytes; a run ends with its last right-to-left letter
    const auto end_run = [&](std::size_t upto) {
        if (run_end > run_begin) {
            text += open;
            text += safe_text.substr(run_begin, run_end - run_begin);
            text += close;
        } else {
            run_end = run_begin;
        }
        text += safe_text.substr(run_end, upto - run_end);
        run_begin = run_end = upto;
    };
    bool in_run = false;
    for (std::size_t at = 0; at < safe_text.size();) {
        const Character character = first_character(safe_text.substr(at));
        if (runs_right_to_left(character.code)) {
            if (!in_run) {
                end_run(at);
            }
            in_run = true;
            run_end = at + character.length;
        } else if (in_run && runs_left_to_right(character.code)) {
            end_run(at);
            in_run = false;
        }
        at += character.length;
    }
    end_run(safe_text.size());
    return text;
}

} // namespace fettle
