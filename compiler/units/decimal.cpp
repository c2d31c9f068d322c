#include "compiler/units/decimal.h"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <string_view>

namespace fettle {

namespace {

constexpr double whole_limit = 1e15; // below it whole numbers are printed to the last digit
constexpr double table_low = 1e-6;   // between the two, scaling by one exact power of ten will do
constexpr double table_high = 1e22;
constexpr std::uint64_t ten_to_15 = 1'000'000'000'000'000;

Decimal without_trailing_zeros(Decimal d) {
    if (d.digits == 0) {
        return {};
    }
    while (d.digits % 1000 == 0) {
        d.digits /= 1000;
        d.scale -= 3;
    }
    while (d.digits % 10 == 0) {
        d.digits /= 10;
        --d.scale;
    }
    return d;
}

// Digits before the point, for values from table_low on; 0 for 0.5, -1 for 0.05.
int whole_digits(double value) {
    int count = -5;
    if (value >= 1) {
        count =
            static_cast<int>(std::upper_bound(powers_of_ten.begin(), powers_of_ten.end(), value) -
                             powers_of_ten.begin());
        return count;
    }
    for (double limit = 1e-5; count < 0 && value >= limit; limit *= 10) {
        ++count;
    }
    return count;
}

// Very large and very small numbers, by way of the standard library.
Decimal far_decimal(double value, int significant, int most_decimals) {
    std::array<char, 40> text{};
    const auto end = std::to_chars(text.data(), text.data() + text.size(), value,
                                   std::chars_format::scientific, significant - 1)
                         .ptr;
    std::uint64_t digits = 0;
    const char* at = text.data();
    for (; *at != 'e'; ++at) {
        if (*at != '.') {
            digits = digits * 10 + static_cast<std::uint64_t>(*at - '0');
        }
    }
    int exponent = 0;
    std::from_chars(at + (at[1] == '+' ? 2 : 1), end, exponent);
    const int scale = significant - 1 - exponent;
    if (scale > most_decimals) {
        return {}; // table_low is far above what most_decimals leaves
    }
    return without_trailing_zeros({digits, scale});
}

Decimal positive_decimal(double value, int significant, int most_decimals) {
    if (value < whole_limit && value == std::floor(value) && significant >= 15) {
        return without_trailing_zeros({static_cast<std::uint64_t>(value), 0});
    }
    if (value < table_low || value >= table_high) {
        return far_decimal(value, significant, most_decimals);
    }
    const int scale = std::min(significant - whole_digits(value), most_decimals);
    const double scaled = scale >= 0 ? value * powers_of_ten[static_cast<std::size_t>(scale)]
                                     : value / powers_of_ten[static_cast<std::size_t>(-scale)];
    return without_trailing_zeros({static_cast<std::uint64_t>(std::round(scaled)), scale});
}

} // namespace

Decimal nearest_decimal(double value, int significant, int most_decimals) {
    if (value == 0) {
        return {};
    }
    Decimal result = positive_decimal(std::abs(value), significant, most_decimals);
    result.negative = value < 0 && result.digits != 0;
    return result;
}

double value_of(const Decimal& decimal) {
    double value = static_cast<double>(decimal.digits);
    if (decimal.scale >= 0 && decimal.scale < exact_powers) {
        value /= powers_of_ten[static_cast<std::size_t>(decimal.scale)];
    } else if (decimal.scale < 0 && decimal.scale > -exact_powers && decimal.digits < ten_to_15) {
        value *= powers_of_ten[static_cast<std::size_t>(-decimal.scale)];
    } else {
        std::string text;
        append(text, {decimal.digits, decimal.scale, false});
        std::from_chars(text.data(), text.data() + text.size(), value);
    }
    return decimal.negative ? -value : value;
}

CleanDecimal clean_decimal(double value, double magnitude) {
    if (std::abs(value) < whole_limit && value == std::trunc(value)) {
        return {nearest_decimal(value, 15), true};
    }
    const double tolerance = noise * std::max(std::abs(value), magnitude);
    // No digits beyond the noise: behind the point of 0.3K, which was made from 273.15.
    const int most_decimals =
        magnitude > std::abs(value) ? 12 - whole_digits(std::max(magnitude, 1.0)) : 400;
    const Decimal twelve = nearest_decimal(value, 12, most_decimals);
    if (std::abs(value_of(twelve) - value) <= tolerance) {
        return {twelve, true};
    }
    return {nearest_decimal(value, 9, most_decimals), false};
}

void append(std::string& out, const Decimal& decimal) {
    std::array<char, 24> text{};
    const char* const end =
        std::to_chars(text.data(), text.data() + text.size(), decimal.digits).ptr;
    const std::string_view digits(text.data(), static_cast<std::size_t>(end - text.data()));
    if (decimal.negative) {
        out += '-';
    }
    if (decimal.scale <= 0) {
        out += digits;
        out.append(decimal.digits == 0 ? 0 : static_cast<std::size_t>(-decimal.scale), '0');
        return;
    }
    const auto scale = static_cast<std::size_t>(decimal.scale);
    if (digits.size() > scale) {
        out += digits.substr(0, digits.size() - scale);
        out += '.';
        out += digits.substr(digits.size() - scale);
        return;
    }
    out += "0.";
    out.append(scale - digits.size(), '0');
    out += digits;
}

} // namespace fettle
