#include "compiler/units/decimal.h"
#include "compiler/units/quantity.h"
#include "compiler/units/unit_table.h"

#include <array>
#include <bit>
#include <cmath>

namespace fettle {

namespace {

// --- what each dimension is called, and the unit that suits it -----------------------------------

struct DimensionRow {
    Dimension dimension;
    std::string_view described;
    UnitId natural; // 0: printed as a plain number
};

constexpr std::array dimension_table{
    DimensionRow{dimension::number, "a number", 0},
    DimensionRow{dimension::fraction, "a fraction", unit_named("%")},
    DimensionRow{dimension::temperature, "a temperature", unit_named("C")},
    DimensionRow{dimension::difference, "a difference of temperature", unit_named("dC")},
    DimensionRow{dimension::duration, "a duration", unit_named("s")},
    DimensionRow{dimension::rate, "a rate of climb", unit_named("C/h")},
    DimensionRow{dimension::length, "a length", unit_named("metre")},
    DimensionRow{dimension::area, "an area", unit_named("metre2")},
    DimensionRow{dimension::volume, "a volume", unit_named("L")},
    DimensionRow{dimension::mass, "a mass", unit_named("kg")},
    DimensionRow{dimension::power, "a power", unit_named("kW")},
    DimensionRow{dimension::energy, "an energy", unit_named("kWh")},
    DimensionRow{dimension::current, "a current", unit_named("A")},
    DimensionRow{dimension::pressure, "a pressure", unit_named("kPa")},
    DimensionRow{dimension::money, "an amount of money", 0},
    DimensionRow{dimension::price, "a price of energy", unit_named("/kWh")},
    DimensionRow{dimension::price_of_mass, "a price by mass", unit_named("/kg")},
    DimensionRow{dimension::price_of_volume, "a price by volume", unit_named("/metre3")},
    DimensionRow{dimension::density, "a density", unit_named("kg/metre3")},
    DimensionRow{dimension::expansion, "a thermal expansion", unit_named("ppm/K")},
    DimensionRow{dimension::conductivity, "a heat conductivity", unit_named("W/metre/K")},
    DimensionRow{dimension::conductivity_rise, "a rise of conductivity", unit_named("W/metre/K/K")},
    DimensionRow{dimension::specific_heat, "a specific heat", unit_named("J/kg/K")},
    DimensionRow{dimension::heat_capacity, "a heat capacity", unit_named("kJ/K")},
    DimensionRow{dimension::heat_loss, "a heat loss", unit_named("W/K")},
    DimensionRow{dimension::heat_per_mass, "a heat by mass", unit_named("kJ/kg")},
    DimensionRow{dimension::flux, "a flow of heat through an area", unit_named("W/metre2")},
    DimensionRow{dimension::heat_transfer, "a heat transfer", unit_named("W/metre2/K")},
    DimensionRow{dimension::diffusivity, "a diffusivity", unit_named("mm2/s")},
    DimensionRow{dimension::gradient, "a temperature gradient", unit_named("C/mm")},
    DimensionRow{dimension::duration_per_length, "a duration by thickness", unit_named("h/mm")},
    DimensionRow{dimension::mass_flow, "a flow of mass", unit_named("kg/h")},
    DimensionRow{dimension::volume_flow, "a flow of volume", unit_named("metre3/h")},
};

std::uint64_t word_of(Dimension d) {
    static_assert(sizeof(Dimension) == 8);
    return std::bit_cast<std::uint64_t>(d);
}

const DimensionRow* row_of(Dimension d) {
    const std::uint64_t word = word_of(d);
    for (const DimensionRow& row : dimension_table) {
        if (word_of(row.dimension) == word) {
            return &row;
        }
    }
    return nullptr;
}

// --- dimensions without a row, by their exponents ------------------------------------------------

struct BaseUnit {
    std::int8_t Dimension::*exponent;
    std::string_view name;
    bool powers; // whether metre2 and metre3 are units
};
constexpr std::array base_units{
    BaseUnit{&Dimension::mass, "kg", false},   BaseUnit{&Dimension::length, "metre", true},
    BaseUnit{&Dimension::current, "A", false}, BaseUnit{&Dimension::temperature, "K", false},
    BaseUnit{&Dimension::time, "s", false},
};

// "metre3", or one "sign name" after another where there is no name for the power.
void append_power(std::string& out, std::string_view sign, const BaseUnit& base, int exponent) {
    while (exponent > 0) {
        const int step = base.powers ? std::min(exponent, 3) : 1;
        out += sign;
        out += base.name;
        if (step > 1) {
            out += static_cast<char>('0' + step);
        }
        exponent -= step;
    }
}

// "kg/metre2", "kg·metre/s/s", "/s"; money has no name.
std::string exponents_of(Dimension d) {
    std::string text;
    for (const BaseUnit& base : base_units) {
        std::string factor;
        append_power(factor, "·", base, d.*base.exponent);
        text +=
            text.empty() && !factor.empty() ? factor.substr(std::string_view("·").size()) : factor;
    }
    for (const BaseUnit& base : base_units) {
        append_power(text, "/", base, -(d.*base.exponent));
    }
    return text;
}

// --- durations -----------------------------------------------------------------------------------

constexpr double microseconds = 1e6;
constexpr double longest_in_parts = 1e9; // seconds, 30 years: past it, microseconds are noise
constexpr std::int64_t second = 1'000'000, minute = 60 * second, hour = 60 * minute,
                       day = 24 * hour;

void append_part(std::string& out, std::int64_t& rest, std::int64_t size, char letter) {
    if (rest >= size) {
        append(out, {static_cast<std::uint64_t>(rest / size), 0});
        out += letter;
        rest %= size;
    }
}

void append_parts(std::string& out, double seconds, bool days) {
    auto rest = static_cast<std::int64_t>(std::llround(std::abs(seconds) * microseconds));
    if (rest == 0) {
        out += "0s";
        return;
    }
    if (seconds < 0) {
        out += '-';
    }
    if (days) {
        append_part(out, rest, day, 'd');
    }
    append_part(out, rest, hour, 'h');
    append_part(out, rest, minute, 'm');
    if (rest > 0) {
        append(out, nearest_decimal(static_cast<double>(rest) / microseconds, 8));
        out += 's';
    }
}

// Without a unit of its own a duration is read best to the second; short of a minute it keeps its
// digits.
std::string natural_duration(double seconds) {
    if (std::abs(seconds) < 60) {
        std::string out;
        append(out, clean_decimal(seconds, 1).decimal);
        return out += 's';
    }
    return print_duration(seconds);
}

// --- numbers with a unit -------------------------------------------------------------------------

// Kinds that are differences of larger things; what is left below 1e-11 of them is rounding.
bool is_difference_like(Dimension d) {
    return d.point || d == dimension::difference || d == dimension::duration;
}

// The decimal of 15 digits, if reading it gives back the very same value.
std::optional<Decimal> long_decimal(double number, double base, const Conversion& by) {
    const Decimal fifteen = nearest_decimal(number, 15);
    if (fifteen.scale < 0 || fifteen.scale >= exact_powers) {
        return std::nullopt;
    }
    const auto digits = static_cast<double>(fifteen.digits);
    const double power = powers_of_ten[static_cast<std::size_t>(fifteen.scale)];
    const bool same = to_base(fifteen.negative ? -digits : digits, power, by) == base;
    return same ? std::optional(fifteen) : std::nullopt;
}

// For what no number of digits can say; it takes no unit.
std::string print_not_finite(double value) {
    return std::isnan(value) ? "not a number" : value > 0 ? "infinite" : "-infinite";
}

// `typed`: the unit is the one it was written in, so all of its digits count.
void append_number(std::string& out, double base, Dimension d, const Conversion& by, bool typed) {
    const double number = from_base(base, by);
    const double floor = is_difference_like(d) ? 1.0 : 0.0;
    const double magnitude = std::max(floor, std::abs(by.offset / by.num));
    const CleanDecimal clean = clean_decimal(number, magnitude);
    if (!clean.neat && typed) {
        if (const auto all = long_decimal(number, base, by)) {
            append(out, *all);
            return;
        }
    }
    append(out, clean.decimal);
}

UnitId natural_unit(const Quantity& quantity) {
    const double size = std::abs(quantity.value);
    if (quantity.dimension == dimension::length && size < 1) {
        return unit_named("mm");
    }
    const DimensionRow* row = row_of(quantity.dimension);
    return row == nullptr ? 0 : row->natural;
}

bool is_written_in(const Quantity& quantity) {
    return quantity.unit != 0 && dimension_of(quantity.unit) == quantity.dimension;
}

std::string print_in(const Quantity& quantity, UnitId unit, bool typed) {
    if (!std::isfinite(quantity.value)) {
        return print_not_finite(quantity.value);
    }
    std::string out;
    append_number(out, quantity.value, quantity.dimension, conversion_of(unit), typed);
    out += unit != 0                               ? std::string(unit_of(unit).name)
           : row_of(quantity.dimension) != nullptr ? std::string()
                                                   : exponents_of(quantity.dimension);
    return out;
}

std::string print_without_unit(const Quantity& quantity) {
    if (quantity.dimension == dimension::duration && std::isfinite(quantity.value)) {
        return natural_duration(quantity.value);
    }
    const UnitId degrees = result_unit(quantity.unit, 0, quantity.dimension);
    return print_in(quantity, degrees != 0 ? degrees : natural_unit(quantity),
                    quantity.dimension == dimension::number);
}

// --- scales --------------------------------------------------------------------------------------

struct ScaleRow {
    UnitId celsius, fahrenheit, kelvin;
};
constexpr std::array scale_rows{
    ScaleRow{unit_named("C"), unit_named("F"), unit_named("K")},
    ScaleRow{unit_named("dC"), unit_named("dF"), unit_named("dK")},
    ScaleRow{unit_named("C/min"), unit_named("F/min"), unit_named("K/min")},
    ScaleRow{unit_named("C/h"), unit_named("F/h"),
             unit_named("K/h")}, // for rates of other units too
};

UnitId on_scale(const Quantity& quantity, Scale scale) {
    UnitId found = 0;
    for (const ScaleRow& row : scale_rows) {
        const bool same = quantity.unit == row.celsius || quantity.unit == row.fahrenheit ||
                          quantity.unit == row.kelvin;
        const UnitId wanted = scale == Scale::celsius ? row.celsius : row.fahrenheit;
        if (unit_of(wanted).dimension == quantity.dimension) {
            found = wanted;
            if (same) {
                return found;
            }
        }
    }
    return found;
}

std::string with_decimals(double value, int decimals, std::string_view unit) {
    std::string out = print_number(value, decimals);
    return out += unit;
}

} // namespace

std::string print(const Quantity& quantity) {
    if (!is_written_in(quantity)) {
        return print_without_unit(quantity);
    }
    if (quantity.unit <= unit_count) {
        return print_in(quantity, quantity.unit, true);
    }
    if (!(std::abs(quantity.value) <= longest_in_parts)) {
        return print_in(quantity, unit_named("h"), false);
    }
    std::string out;
    append_parts(out, quantity.value, quantity.unit == parts_of_days);
    return out;
}

std::string print(const Quantity& quantity, Scale scale) {
    const UnitId unit = on_scale(quantity, scale);
    return unit == 0 ? print(quantity) : print_in(quantity, unit, unit == quantity.unit);
}

std::string print_number(double value) {
    if (!std::isfinite(value)) {
        return print_not_finite(value);
    }
    std::string out;
    const bool whole = std::abs(value) < 1e15 && value == std::trunc(value);
    append(out, nearest_decimal(value, whole ? 15 : 9));
    return out;
}

std::string print_number(double value, int decimals) {
    if (!std::isfinite(value)) {
        return print_not_finite(value);
    }
    std::string out;
    append(out, nearest_decimal(value, 15, decimals));
    return out;
}

std::string print_temperature(double celsius, Scale scale, int decimals) {
    return with_decimals(to_scale(celsius, scale), decimals, scale == Scale::celsius ? "C" : "F");
}

std::string print_difference(double kelvin, Scale scale, int decimals) {
    return with_decimals(difference_to_scale(kelvin, scale), decimals,
                         scale == Scale::celsius ? "dC" : "dF");
}

std::string print_rate(double kelvin_per_hour, Scale scale, int decimals) {
    return with_decimals(difference_to_scale(kelvin_per_hour, scale), decimals,
                         scale == Scale::celsius ? "C/h" : "F/h");
}

std::string print_duration(double seconds) {
    const double whole = std::round(seconds);
    if (!(std::abs(whole) <= longest_in_parts)) {
        return print_in({seconds, dimension::duration, 0}, unit_named("d"), false);
    }
    std::string out;
    const bool few_seconds = std::abs(whole) < 120 && std::fmod(whole, 60) != 0;
    if (few_seconds) {
        append(out, nearest_decimal(whole, 15));
        return out += 's';
    }
    append_parts(out, whole, std::abs(whole) >= 48 * 3600.0);
    return out;
}

std::string print_clock(double seconds_after_midnight) {
    constexpr double minutes_of_a_day = 24 * 60;
    double minutes = std::fmod(std::round(seconds_after_midnight / 60), minutes_of_a_day);
    minutes += minutes < 0 ? minutes_of_a_day : 0;
    const int whole = std::isfinite(minutes) ? static_cast<int>(minutes) : 0;
    const auto digit = [](int value) { return static_cast<char>('0' + value % 10); };
    return {digit(whole / 600), digit(whole / 60), ':', digit(whole % 60 / 10), digit(whole % 60)};
}

std::string describe(Dimension d) {
    if (const DimensionRow* row = row_of(d)) {
        return std::string(row->described);
    }
    const std::string exponents = exponents_of(d);
    const std::string_view money = d.money != 0 ? "money and something in " : "something in ";
    return std::string(money) + (exponents.starts_with('/') ? "1" : "") + exponents;
}

} // namespace fettle
