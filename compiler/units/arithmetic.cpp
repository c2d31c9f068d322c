#include "compiler/units/decimal.h"
#include "compiler/units/quantity.h"
#include "compiler/units/unit_table.h"

#include <array>
#include <bit>
#include <cmath>
#include <limits>

namespace fettle {

namespace {

bool is_number(Dimension a) {
    return a == dimension::number || a == dimension::fraction;
}

// The exponents of a × b^sign, or nothing past what a byte holds. Says nothing of shares.
std::optional<Dimension> combined(Dimension a, Dimension b, int sign) {
    using Exponent = std::int8_t Dimension::*;
    constexpr std::array<Exponent, 6> exponents{&Dimension::length,  &Dimension::mass,
                                                &Dimension::time,    &Dimension::temperature,
                                                &Dimension::current, &Dimension::money};
    Dimension result;
    for (const Exponent exponent : exponents) {
        const int sum = a.*exponent + sign * (b.*exponent);
        if (sum < std::numeric_limits<std::int8_t>::min() ||
            sum > std::numeric_limits<std::int8_t>::max()) {
            return std::nullopt;
        }
        result.*exponent = static_cast<std::int8_t>(sum);
    }
    return result;
}

DimensionResult product(Dimension a, Dimension b, int sign) {
    if (a.point || b.point) {
        const bool scaled = a.point ? is_number(b) : is_number(a) && sign > 0;
        return scaled ? Refusal::temperature_times_number : Refusal::temperature_in_product;
    }
    std::optional<Dimension> result = combined(a, b, sign);
    if (!result) {
        return Refusal::exponent_overflow;
    }
    // A share of a number is a share (half of 10 %, 10 % taken twice); of anything else, that
    // thing. How many times one share goes into another, or into a number, is a number.
    const bool shared = sign > 0 ? a.fraction || b.fraction : a.fraction && !b.fraction;
    result->fraction = is_number(a) && is_number(b) && shared;
    return *result;
}

Refusal mismatch(Dimension a, Dimension b) {
    return is_number(a) && is_number(b) ? Refusal::fraction_and_number
                                        : Refusal::different_dimensions;
}

// --- the unit of a result ---

// The units of one kind of temperature in each kind of degrees, in the order of Degrees.
struct DegreeUnits {
    Dimension dimension;
    std::array<UnitId, 4> unit;
};
constexpr std::array degree_units{
    DegreeUnits{dimension::temperature, {0, unit_named("C"), unit_named("F"), unit_named("K")}},
    DegreeUnits{dimension::difference, {0, unit_named("dC"), unit_named("dF"), unit_named("dK")}},
    DegreeUnits{dimension::rate, {0, unit_named("C/h"), unit_named("F/h"), unit_named("K/h")}},
};

bool counts_degrees(Dimension d) {
    return d == dimension::temperature || d == dimension::difference || d == dimension::rate ||
           d == dimension::gradient;
}

Degrees degrees_of(UnitId id) {
    const bool has = id != 0 && id <= unit_count && counts_degrees(unit_of(id).dimension);
    return has ? unit_of(id).degrees : Degrees::none;
}

} // namespace

DimensionResult add(Dimension a, Dimension b) {
    if (a.point && b.point) {
        return Refusal::temperature_plus_temperature;
    }
    if (a.point || b.point) {
        const Dimension other = a.point ? b : a;
        if (other == dimension::difference) {
            return dimension::temperature;
        }
        return Refusal::different_dimensions;
    }
    if (a == b) {
        return a;
    }
    return mismatch(a, b);
}

DimensionResult subtract(Dimension a, Dimension b) {
    if (a.point && b.point) {
        return dimension::difference;
    }
    if (a.point && b == dimension::difference) {
        return dimension::temperature;
    }
    if (b.point && a == dimension::difference) {
        return Refusal::difference_minus_temperature;
    }
    if (a == b) {
        return a;
    }
    return mismatch(a, b);
}

DimensionResult multiply(Dimension a, Dimension b) {
    return product(a, b, 1);
}

DimensionResult divide(Dimension a, Dimension b) {
    return product(a, b, -1);
}

DimensionResult negate(Dimension a) {
    if (a.point) {
        return Refusal::negative_temperature_point;
    }
    return a;
}

bool comparable(Dimension a, Dimension b) {
    return a == b;
}

UnitId result_unit(UnitId a, UnitId b, Dimension result) {
    // As one word: this is asked after every calculation.
    const auto bits = [](Dimension d) { return std::bit_cast<std::uint64_t>(d); };
    for (const UnitId id : {a, b}) {
        if (id != 0 && bits(dimension_of(id)) == bits(result)) {
            return id;
        }
    }
    if (degrees_of(a) == Degrees::none && degrees_of(b) == Degrees::none) {
        return 0;
    }
    for (const UnitId id : {a, b}) {
        for (const DegreeUnits& row : degree_units) {
            if (row.dimension == result && degrees_of(id) != Degrees::none) {
                return row.unit[static_cast<std::size_t>(degrees_of(id))];
            }
        }
    }
    return 0;
}

Quantity as_difference(const Quantity& point) {
    if (!point.dimension.point) {
        return point;
    }
    const UnitId unit = result_unit(point.unit, 0, dimension::difference);
    const Conversion& by = conversion_of(point.unit);
    const double number = from_base(point.value, by);
    // As it was typed: 9F is nine degrees Fahrenheit, to the last digit.
    const double typed = value_of(clean_decimal(number, std::abs(by.offset / by.num)).decimal);
    return {to_base(typed, {by.num, by.den, 0}), dimension::difference, unit};
}

// --- scales --------------------------------------------------------------------------------------

double to_scale(double celsius, Scale scale) {
    return scale == Scale::celsius ? celsius : celsius * 9 / 5 + 32;
}

double from_scale(double value, Scale scale) {
    return scale == Scale::celsius ? value : (value - 32) * 5 / 9;
}

double difference_to_scale(double kelvin, Scale scale) {
    return scale == Scale::celsius ? kelvin : kelvin * 9 / 5;
}

double difference_from_scale(double value, Scale scale) {
    return scale == Scale::celsius ? value : value * 5 / 9;
}

} // namespace fettle
