// Decimal numbers for printing: short, without exponent, without the noise of binary fractions.
#pragma once

#include <array>
#include <cstdint>
#include <string>

namespace fettle {

// digits × 10^-scale; `scale` may be below 0. Without trailing zeros in `digits`.
struct Decimal {
    std::uint64_t digits = 0;
    int scale = 0;
    bool negative = false;
};

// 10^0 … 10^22: all that a double holds exactly.
inline constexpr int exact_powers = 23;
inline constexpr std::array<double, exact_powers> powers_of_ten{
    1e0,  1e1,  1e2,  1e3,  1e4,  1e5,  1e6,  1e7,  1e8,  1e9,  1e10, 1e11,
    1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22};

// The decimal of at most `significant` digits (1 to 15) nearest to a finite number, with at most
// `most_decimals` digits after the point.
Decimal nearest_decimal(double value, int significant, int most_decimals = 400);

// The double nearest to it.
double value_of(const Decimal& decimal);

// A value is the decimal that someone typed, carried through one or a few roundings, when it lies
// this close to one of twelve digits (a few units in the last place).
inline constexpr double noise = 0x1p-48;

// The decimal that `value` stands for: one of at most 12 digits within `noise` × `magnitude` of it
// (`magnitude`: the largest number that took part in making it), else nearest to 9 digits.
// `neat` tells which.
struct CleanDecimal {
    Decimal decimal;
    bool neat = true;
};
CleanDecimal clean_decimal(double value, double magnitude);

// "12.5", "-0.003", "600"; never "-0".
void append(std::string& out, const Decimal& decimal);

} // namespace fettle
