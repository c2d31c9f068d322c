// Numbers for machines: CSV and JSON. Shortest decimal at thousandths, fast for whole numbers.
#pragma once

#include <array>
#include <charconv>
#include <cmath>
#include <cstdint>

namespace fettle {

// Room that put_fixed3 and put_general need.
inline constexpr std::size_t number_room = 32;

// `value` to the thousandth, trailing zeros dropped: 20, 133.333, -0.5; never "-0". Huge values
// keep their exponent. Not for what is no number: that has no digits (see is_printable).
inline char* put_fixed3(char* at, double value) {
    const double magnitude = std::fabs(value);
    if (!(magnitude < 9e12)) {
        return std::to_chars(at, at + number_room, value).ptr;
    }
    // std::lround is a call, and its last bit is far below a thousandth.
    const auto thousandths =
        static_cast<std::uint64_t>(magnitude * 1000 + 0.5); // NOLINT(bugprone-incorrect-roundings)
    if (value < 0 && thousandths != 0) {
        *at++ = '-';
    }
    const std::uint64_t whole = thousandths / 1000;
    const auto rest = static_cast<unsigned>(thousandths % 1000);
    at = std::to_chars(at, at + number_room, whole).ptr;
    if (rest == 0) {
        return at;
    }
    *at++ = '.';
    *at++ = static_cast<char>('0' + rest / 100);
    if (rest % 100 == 0) {
        return at;
    }
    *at++ = static_cast<char>('0' + rest / 10 % 10);
    if (rest % 10 == 0) {
        return at;
    }
    *at++ = static_cast<char>('0' + rest % 10);
    return at;
}

// At most nine significant digits: for values of any size, such as an expansion or a strain.
inline char* put_general(char* at, double value) {
    const double thousandths = value * 1000;
    if (std::fabs(thousandths) < 1e9 && thousandths == std::floor(thousandths)) {
        return put_fixed3(at, value);
    }
    return std::to_chars(at, at + number_room, value, std::chars_format::general, 9).ptr;
}

inline bool is_printable(double value) {
    return std::isfinite(value);
}

} // namespace fettle
