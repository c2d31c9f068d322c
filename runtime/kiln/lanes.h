// Several numbers that take every operation together, each in a lane of its own. Pairs of them fit
// the registers that every 64-bit processor has, and what comes out in a lane is, to the last bit,
// what a plain `double` would give.
#pragma once

#include <cstddef>

namespace fettle {

inline constexpr std::size_t lane_count = 4;

struct Lanes {
    using Pair [[gnu::vector_size(16)]] = double;
    Pair low{}, high{};

    Lanes() = default;
    Lanes(double all) : low{all, all}, high{all, all} {}
    Lanes(Pair l, Pair h) : low(l), high(h) {}

    Lanes& operator+=(const Lanes& b) {
        low += b.low;
        high += b.high;
        return *this;
    }
    Lanes& operator-=(const Lanes& b) {
        low -= b.low;
        high -= b.high;
        return *this;
    }
    friend Lanes operator+(const Lanes& a, const Lanes& b) {
        return {a.low + b.low, a.high + b.high};
    }
    friend Lanes operator-(const Lanes& a, const Lanes& b) {
        return {a.low - b.low, a.high - b.high};
    }
    friend Lanes operator*(const Lanes& a, const Lanes& b) {
        return {a.low * b.low, a.high * b.high};
    }
    friend Lanes operator/(const Lanes& a, const Lanes& b) {
        return {a.low / b.low, a.high / b.high};
    }
    friend Lanes operator-(const Lanes& a) { return {-a.low, -a.high}; }
};

// `then` where value > limit, else `otherwise`.
inline double where_above(double value, double limit, double then, double otherwise) {
    return value > limit ? then : otherwise;
}
inline Lanes where_above(const Lanes& value, const Lanes& limit, const Lanes& then,
                         const Lanes& otherwise) {
    return {value.low > limit.low ? then.low : otherwise.low,
            value.high > limit.high ? then.high : otherwise.high};
}
template <class V> V larger(const V& a, const V& b) {
    return where_above(a, b, a, b);
}
template <class V> V smaller(const V& a, const V& b) {
    return where_above(a, b, b, a);
}

template <class V> inline constexpr std::size_t lanes_of = sizeof(V) / sizeof(double);

inline double lane(const double& value, std::size_t) {
    return value;
}
inline void set_lane(double& value, std::size_t, double to) {
    value = to;
}
inline double lane(const Lanes& value, std::size_t i) {
    return i < 2 ? value.low[i] : value.high[i - 2];
}
inline void set_lane(Lanes& value, std::size_t i, double to) {
    (i < 2 ? value.low : value.high)[i % 2] = to;
}

} // namespace fettle
