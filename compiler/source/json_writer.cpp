#include "compiler/source/json_writer.h"

#include "compiler/source/characters.h"

#include <algorithm>
#include <array>

namespace fettle {

namespace {

constexpr std::array<double, 10> powers_of_ten = {1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9};
constexpr double exact_limit = 9007199254740992.0; // 2^53
constexpr std::uint64_t ones = 0x0101010101010101U;
constexpr std::uint64_t tops = 0x8080808080808080U;

constexpr std::uint64_t zero_bytes(std::uint64_t word) {
    return (word - ones) & ~word & tops;
}

// Whether one of eight bytes is a control character, a quote, a backslash or not ASCII.
constexpr bool has_special(std::uint64_t word) {
    const std::uint64_t below_space = (word - ones * 0x20) & ~word;
    return (((word | below_space) & tops) | zero_bytes(word ^ (ones * '"')) |
            zero_bytes(word ^ (ones * '\\'))) != 0;
}

constexpr bool is_special(unsigned char byte) {
    return byte < 0x20 || byte >= 0x80 || byte == '"' || byte == '\\';
}

// The letter after the backslash, or 0.
constexpr char short_escape(unsigned char byte) {
    switch (byte) {
    case '"': return '"';
    case '\\': return '\\';
    case '\n': return 'n';
    case '\r': return 'r';
    case '\t': return 't';
    case '\b': return 'b';
    case '\f': return 'f';
    default: return 0;
    }
}

} // namespace

void JsonWriter::grow(std::size_t more) {
    out_.resize(std::max({out_.size() * 2, at_ + more, std::size_t{1024}}));
    out_.resize(out_.capacity());
}

void JsonWriter::separate_indented(char before, std::size_t more) {
    room(more + 4 + 2 * static_cast<std::size_t>(depth_));
    if (before == ' ' || before == '\0') {
        return;
    }
    const bool first = before == '{' || before == '[';
    if (!first) {
        put(',');
    }
    if (depth_ < line_depth_) {
        new_line();
    } else if (!first) {
        put(' ');
    }
}

void JsonWriter::new_line() {
    put('\n');
    for (int level = 0; level < depth_; ++level) {
        put(std::string_view("  "));
    }
}

void JsonWriter::close(char bracket) {
    room(4 + 2 * static_cast<std::size_t>(depth_));
    const bool on_one_line = depth_ >= line_depth_;
    if (depth_ == line_depth_) {
        line_depth_ = no_line;
    }
    --depth_;
    const char before = last();
    if (indented_ && !on_one_line && before != '{' && before != '[') {
        new_line();
    }
    put(bracket);
}

void JsonWriter::number(double value, int decimals) {
    if (!std::isfinite(value)) {
        return null();
    }
    separate(40);
    const double scale = powers_of_ten[static_cast<std::size_t>(std::clamp(decimals, 0, 9))];
    const double scaled = std::round(std::fabs(value) * scale);
    if (scaled >= exact_limit) {
        return put_shortest(value);
    }
    auto digits = static_cast<std::uint64_t>(scaled);
    const auto unit = static_cast<std::uint64_t>(scale);
    if (value < 0 && digits != 0) {
        put('-');
    }
    char* const start = out_.data() + at_;
    char* end = std::to_chars(start, start + 24, digits / unit).ptr;
    std::uint64_t fraction = digits % unit;
    if (fraction != 0) {
        *end++ = '.';
        for (std::uint64_t place = unit / 10; fraction != 0; place /= 10) {
            *end++ = static_cast<char>('0' + fraction / place);
            fraction %= place;
        }
    }
    at_ += static_cast<std::size_t>(end - start);
}

void JsonWriter::quote(std::string_view text) {
    room(text.size() + 2);
    put('"');
    char* to = out_.data() + at_;
    const char* from = text.data();
    const char* const end = from + text.size();
    for (; end - from >= 8; from += 8, to += 8) {
        std::uint64_t word = 0;
        std::memcpy(&word, from, 8);
        if (has_special(word)) {
            break;
        }
        std::memcpy(to, &word, 8);
    }
    while (from != end && !is_special(static_cast<unsigned char>(*from))) {
        *to++ = *from++;
    }
    at_ = static_cast<std::size_t>(to - out_.data());
    if (from != end) {
        quote_rest({from, static_cast<std::size_t>(end - from)});
    }
    room(1);
    put('"');
}

void JsonWriter::quote_rest(std::string_view text) {
    constexpr std::string_view hex = "0123456789abcdef";
    while (!text.empty()) {
        const auto plain = static_cast<std::size_t>(
            std::find_if(text.begin(), text.end(),
                         [](char byte) { return is_special(static_cast<unsigned char>(byte)); }) -
            text.begin());
        room(plain + 8);
        put(text.substr(0, plain));
        text.remove_prefix(plain);
        if (text.empty()) {
            return;
        }
        const auto byte = static_cast<unsigned char>(text.front());
        if (byte >= 0x80) {
            const Character character = first_character(text);
            put(character.valid ? text.substr(0, character.length)
                                : std::string_view("\xEF\xBF\xBD"));
            text.remove_prefix(character.length);
            continue;
        }
        put('\\');
        if (const char letter = short_escape(byte)) {
            put(letter);
        } else {
            put(std::string_view("u00"));
            put(hex[byte >> 4U]);
            put(hex[byte & 15U]);
        }
        text.remove_prefix(1);
    }
}

} // namespace fettle
