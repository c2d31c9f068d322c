// Points on a straight line between two temperatures, in integers. Within the bounds of table.h
// the largest product is below 2^57.
#pragma once

#include <cstdint>

namespace fettle::player {

constexpr std::int32_t distance(std::int32_t a, std::int32_t b) {
    return a < b ? b - a : a - b;
}

// Rounded to the nearest; halves away from `from`.
constexpr std::int32_t value_at(std::int32_t from, std::int32_t to, std::int64_t elapsed_ms,
                                std::int64_t duration_ms) {
    if (elapsed_ms >= duration_ms) {
        return to;
    }
    const std::int64_t part = distance(from, to) * elapsed_ms;
    const auto change = static_cast<std::int32_t>((part + duration_ms / 2) / duration_ms);
    return to < from ? from - change : from + change;
}

// When the line from `from` to `to` is first at `value`, which lies between them; rounded up.
constexpr std::int64_t time_at(std::int32_t from, std::int32_t to, std::int32_t value,
                               std::int64_t duration_ms) {
    const std::int64_t whole = distance(from, to);
    return whole == 0 ? 0 : (distance(from, value) * duration_ms + whole - 1) / whole;
}

} // namespace fettle::player
