// Numbers for machines: CSV and JSON. Shortest decimal at thousandths, fast for whole numbers.
#pragma once

#include <array>
#include <charconv>
#include <cmath>
#include <cstdint>

namespace fettle {

// Room that put_fixed3 and put_general need.
inline constexpr std::size_t number_room = 32;

// A count of so many parts of one (10 to the power of `places`): 20, 133.333, -0.5; zeros at the
// end are dropped, and there is never a "-0".
template <int places> char* put_parts(char* at, bool negative, std::uint64_t parts) {
    constexpr std::uint64_t one = places == 3 ? 1'000 : 1'000'000;
    static_assert(places == 3 || places == 6);
    if (negative && parts != 0) {
        *at++ = '-';
    }
    at = std::to_chars(at, at + number_room, parts / one).ptr;
    auto rest = static_cast<std::uint32_t>(parts % one);
    if (rest == 0) {
        return at;
    }
    *at++ = '.';
    for (int place = places; place-- > 0; rest /= 10) {
        at[place] = static_cast<char>('0' + rest % 10);
    }
    at += places;
    while (at[-1] == '0') {
        --at;
    }
    return at;
}

// `value` to the thousandth. Huge values keep their exponent. Not for what is no number: that has
// no digits (see is_printable).
inline char* put_fixed3(char* at, double value) {
    const double magnitude = std::fabs(value);
    if (!(magnitude < 9e12)) {
        return std::to_chars(at, at + number_room, value).ptr;
    }
    // std::lround is a call, and its last bit is far below a thousandth.
    const auto thousandths =
        static_cast<std::uint64_t>(magnitude * 1000 + 0.5); // NOLINT(bugprone-incorrect-roundings)
    return put_parts<3>(at, value < 0, thousandths);
}

// At most nine significant digits: for values of any size, such as an expansion or a strain.
inline char* put_general(char* at, double value) {
    const double magnitude = std::fabs(value);
    // What has up to six places and no more than nine digits, as most have, is quicker.
    if (magnitude == 0 || (magnitude >= 1e-4 && magnitude < 1000)) {
        const double millionths = std::floor(magnitude * 1e6 + 0.5);
        if (millionths / 1e6 == magnitude) {
            return put_parts<6>(at, value < 0, static_cast<std::uint64_t>(millionths));
        }
    }
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
