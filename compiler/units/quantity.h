// Quantities: a number in base units, its dimension, and the unit it was written in.
//
// Base units: metre, kilogram, second, kelvin, ampere, unit of money. A temperature as a point on a
// scale is held in degrees Celsius, a difference in kelvin: they are different types, and
// arithmetic between them is affine.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

namespace fettle {

// Exponents of the base units, a signed byte each, packed in one word. `fraction` marks a share
// (1.2 %), which mixes with plain numbers only by * and /, and disappears beside any other unit.
struct Dimension {
    std::int8_t length = 0, mass = 0, time = 0, temperature = 0, current = 0, money = 0;
    bool fraction = false;
    bool point = false; // a temperature on a scale; only with temperature = 1 and nothing else
    bool operator==(const Dimension&) const = default;
};

namespace dimension {
inline constexpr Dimension number{};
inline constexpr Dimension fraction{.fraction = true};
inline constexpr Dimension temperature{.temperature = 1, .point = true};
inline constexpr Dimension difference{.temperature = 1};
inline constexpr Dimension duration{.time = 1};
inline constexpr Dimension rate{.time = -1, .temperature = 1};
inline constexpr Dimension length{.length = 1};
inline constexpr Dimension mass{.mass = 1};
inline constexpr Dimension volume{.length = 3};
inline constexpr Dimension power{.length = 2, .mass = 1, .time = -3};
inline constexpr Dimension energy{.length = 2, .mass = 1, .time = -2};
inline constexpr Dimension pressure{.length = -1, .mass = 1, .time = -2};
inline constexpr Dimension price{.length = -2, .mass = -1, .time = 2, .money = 1};
inline constexpr Dimension density{.length = -3, .mass = 1};
inline constexpr Dimension conductivity{.length = 1, .mass = 1, .time = -3, .temperature = -1};
inline constexpr Dimension specific_heat{.length = 2, .time = -2, .temperature = -1};
inline constexpr Dimension heat_capacity{.length = 2, .mass = 1, .time = -2, .temperature = -1};
inline constexpr Dimension heat_loss{.length = 2, .mass = 1, .time = -3, .temperature = -1};
inline constexpr Dimension expansion{.temperature = -1};
inline constexpr Dimension current{.current = 1};
} // namespace dimension

// Index of a unit *as written* ("C/h", "1h30m" style durations, "2600kg/metre3") in the table of
// printable units; 0: none was written, printing chooses one that suits the dimension.
using UnitId = std::uint16_t;

struct Quantity {
    double value = 0; // base units; a point: degrees Celsius
    Dimension dimension;
    UnitId unit = 0;
};

enum class Scale : std::uint8_t { celsius, fahrenheit };

// --- literals -----------------------------------------------------------------------------------

// Why a literal is no quantity. Offsets are relative to the literal.
struct LiteralProblem {
    enum class Kind : std::uint8_t {
        unknown_unit,  // no such unit; `suggestion` is the nearest one or empty
        several_units, // parts that cannot be added: "1h30C"
        below_absolute_zero,
        too_large,    // overflows to infinity
        not_a_number, // malformed digits
    } kind;
    std::uint32_t begin = 0, end = 0; // the part at fault
    std::string suggestion; // what to put in place of that part; empty where nothing is near, or
                            // where more than one thing may be meant ("1,250C")
};

// "600C", "600°C", "-5dC", "1h30m", "2600kg/metre3", "0.31/kWh", "1.2%", "12" (a plain number).
std::variant<Quantity, LiteralProblem> parse_quantity(std::string_view literal);

// "22:30" to seconds after midnight; nothing if it is no time of day (24:00 is none).
std::optional<double> parse_clock(std::string_view literal);

// The position on the cone scale of "06", "6", "5.5", "5½", "05½": -6, 6, 5.5, 5.5, -5.5.
// Nothing when there is no such cone ("00", "21", "43", "6.5").
std::optional<double> parse_cone(std::string_view name);
// "06", "6", "5½" for a position on the scale; every one that parse_cone gives.
std::string cone_name(double position);
// All positions, coldest first.
const std::vector<double>& all_cones();
bool is_unit(std::string_view name);

// --- arithmetic on dimensions -------------------------------------------------------------------

enum class Refusal : std::uint8_t {
    temperature_plus_temperature, // 600C + 20C
    temperature_times_number,     // 2 * 600C, 600C / 2
    temperature_in_product,       // 600C * 1h: a point in any other product or quotient
    difference_minus_temperature, // 20dC - 600C
    negative_temperature_point,   // -(600C) as an operation
    different_dimensions,         // 6mm + 20m
    fraction_and_number,          // 5% + 1
    exponent_overflow,
};
using DimensionResult = std::variant<Dimension, Refusal>;

// point - point = difference; point ± difference = point; difference + point = point.
DimensionResult add(Dimension a, Dimension b);
DimensionResult subtract(Dimension a, Dimension b);
DimensionResult multiply(Dimension a, Dimension b);
DimensionResult divide(Dimension a, Dimension b);
DimensionResult negate(Dimension a);
// Whether values of the two may be compared (they must be equal; never a point with a difference).
bool comparable(Dimension a, Dimension b);

// The unit in which a result of a and b is printed: that of `a` if it suits `result`, else of `b`,
// else 0. A difference of two temperatures in F prints in dF.
UnitId result_unit(UnitId a, UnitId b, Dimension result);

// A temperature that was meant as a difference ("within 5C"): the number as it was typed, in the
// unit of differences. Anything else comes back as it is.
Quantity as_difference(const Quantity& point);

// --- printing -----------------------------------------------------------------------------------

// In the unit it was written in (or, with none, one that suits), with as many digits as it has and
// no binary noise: "600C", "1h30m", "100C/h", "1.2%", "20dC", "12.5", "8mm".
std::string print(const Quantity& quantity);
// The same with every temperature, difference and rate in the given scale, whatever it was written
// in.
std::string print(const Quantity& quantity, Scale scale);
// Shortest decimal without exponent that rounds to the value at 9 significant digits: "12.5",
// "600". A whole number below 1e15 keeps all of its digits.
std::string print_number(double value);
// At most `decimals` digits after the point, trailing zeros dropped: (12.50, 1) -> "12.5".
std::string print_number(double value, int decimals);
std::string print_temperature(double celsius, Scale scale, int decimals = 0);  // "600C", "1112F"
std::string print_difference(double kelvin, Scale scale, int decimals = 0);    // "20dC"
std::string print_rate(double kelvin_per_hour, Scale scale, int decimals = 0); // "100C/h"
// To the second: "90s", "20m", "1h30m", "17h20m", "2d4h" (days from 48 hours on).
std::string print_duration(double seconds);
// To the minute, of any day.
std::string print_clock(double seconds_after_midnight); // "22:30"
// What a reader calls the dimension: "a temperature", "a length", "a rate of climb",
// "a number", or by its exponents: "something in kg/metre2".
std::string describe(Dimension dimension);

// --- scales -------------------------------------------------------------------------------------
// The one place where Celsius and Fahrenheit meet.
double to_scale(double celsius, Scale scale);
double from_scale(double value, Scale scale);
double difference_to_scale(double kelvin, Scale scale); // also for rates
double difference_from_scale(double value, Scale scale);

} // namespace fettle
