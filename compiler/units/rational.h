// Exact fractions, so that a factor such as 5/9 or 45359237/100000000 is written down once and
// never rounded before it meets a number.
#pragma once

#include <cstdint>
#include <numeric>

namespace fettle {

// In lowest terms, `den` above 0.
struct Rational {
    std::int64_t num = 0, den = 1;
    bool operator==(const Rational&) const = default;
};

constexpr Rational lowest_terms(Rational r) {
    const std::int64_t common = std::gcd(r.num, r.den);
    return {r.num / common, r.den / common};
}

// Cancels across before it multiplies; at compile time an overflow is an error.
constexpr Rational operator*(Rational a, Rational b) {
    const Rational left = lowest_terms({a.num, b.den});
    const Rational right = lowest_terms({b.num, a.den});
    return {left.num * right.num, right.den * left.den};
}

// `b` above 0.
constexpr Rational operator/(Rational a, Rational b) {
    return a * Rational{b.den, b.num};
}

} // namespace fettle
