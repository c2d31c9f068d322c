// The one table of units: the compiler, the reference and the tests all read this one.
//
// A quantity in base units is  number × factor + offset,  both exact. Base units are those of
// quantity.h; the offset is there for points on a temperature scale alone. In a unit of several
// parts C, F and K are differences, and minutes are `min`: "W/m/K" would be read as per minute.
#pragma once

#include "compiler/units/quantity.h"
#include "compiler/units/rational.h"

#include <array>
#include <cstddef>
#include <iterator>
#include <span>
#include <string_view>

namespace fettle {

// Whose degrees a unit counts in, for the choice of the unit of a result.
enum class Degrees : std::uint8_t { none, celsius, fahrenheit, kelvin };

// Other spellings that are read; empty where there are fewer.
struct Aliases {
    std::string_view first = "", second = "";
    constexpr std::array<std::string_view, 2> all() const { return {first, second}; }
};

struct Unit {
    std::string_view name; // as it is printed: "C/h"
    Aliases aliases;
    Dimension dimension;
    Rational factor;
    Rational offset;
    Degrees degrees = Degrees::none;
    std::string_view meaning; // for the reference
    std::string_view example; // a literal as it stands in a program
};

namespace dimension {
inline constexpr Dimension money{.money = 1};
inline constexpr Dimension area{.length = 2};
inline constexpr Dimension heat_per_mass{.length = 2, .time = -2};
inline constexpr Dimension flux{.mass = 1, .time = -3};
inline constexpr Dimension heat_transfer{.mass = 1, .time = -3, .temperature = -1};
inline constexpr Dimension conductivity_rise{.length = 1, .mass = 1, .time = -3, .temperature = -2};
inline constexpr Dimension diffusivity{.length = 2, .time = -1};
inline constexpr Dimension gradient{.length = -1, .temperature = 1};
inline constexpr Dimension duration_per_length{.length = -1, .time = 1};
inline constexpr Dimension mass_flow{.mass = 1, .time = -1};
inline constexpr Dimension volume_flow{.length = 3, .time = -1};
inline constexpr Dimension price_of_mass{.mass = -1, .money = 1};
inline constexpr Dimension price_of_volume{.length = -3, .money = 1};
} // namespace dimension

// Exact by definition: the inch, the pound and standard gravity (international agreement of 1959,
// ISO 80000), the heat unit of the International Steam Tables (4.1868 J/(g K)).
namespace exact {
inline constexpr Rational one{1, 1}, thousand{1000, 1}, million{1'000'000, 1};
inline constexpr Rational thousandth{1, 1000}, millionth{1, 1'000'000}, hundredth{1, 100};
inline constexpr Rational minute{60, 1}, hour{3600, 1}, day{86'400, 1};
inline constexpr Rational inch{127, 5000}, foot{381, 1250};
inline constexpr Rational square_inch = inch * inch, square_foot = foot * foot;
inline constexpr Rational cubic_inch = square_inch * inch, cubic_foot = square_foot * foot;
inline constexpr Rational litre = thousandth, cubic_centimetre = millionth;
inline constexpr Rational pound{45'359'237, 100'000'000}, ounce = pound / Rational{16, 1};
inline constexpr Rational gravity{196'133, 20'000};
inline constexpr Rational psi = pound * gravity / square_inch;
inline constexpr Rational fahrenheit{5, 9};
inline constexpr Rational btu = Rational{41'868, 10} * pound * fahrenheit;
inline constexpr Rational kwh{3'600'000, 1};
} // namespace exact

// clang-format off
inline constexpr Unit units[] = {
    // --- temperatures: points on a scale ---
    {"C", {"°C"}, dimension::temperature, exact::one, {}, Degrees::celsius, "degrees Celsius",
     "600C"},
    {"F", {"°F"}, dimension::temperature, exact::fahrenheit, {-160, 9}, Degrees::fahrenheit,
     "degrees Fahrenheit", "1112F"},
    {"K", {}, dimension::temperature, exact::one, {-27'315, 100}, Degrees::kelvin,
     "kelvin, counted from absolute zero", "873K"},

    // --- differences of temperature ---
    {"dC", {}, dimension::difference, exact::one, {}, Degrees::celsius,
     "degrees Celsius of difference", "20dC"},
    {"dF", {}, dimension::difference, exact::fahrenheit, {}, Degrees::fahrenheit,
     "degrees Fahrenheit of difference", "36dF"},
    {"dK", {}, dimension::difference, exact::one, {}, Degrees::kelvin, "kelvin of difference",
     "20dK"},

    // --- rates of climb and fall ---
    {"C/h", {"°C/h", "dC/h"}, dimension::rate, exact::one / exact::hour, {}, Degrees::celsius,
     "degrees Celsius an hour", "100C/h"},
    {"C/min", {"°C/min", "dC/min"}, dimension::rate, exact::one / exact::minute, {},
     Degrees::celsius, "degrees Celsius a minute", "2C/min"},
    {"F/h", {"°F/h", "dF/h"}, dimension::rate, exact::fahrenheit / exact::hour, {},
     Degrees::fahrenheit, "degrees Fahrenheit an hour", "180F/h"},
    {"F/min", {"°F/min", "dF/min"}, dimension::rate, exact::fahrenheit / exact::minute, {},
     Degrees::fahrenheit, "degrees Fahrenheit a minute", "4F/min"},
    {"K/h", {"dK/h"}, dimension::rate, exact::one / exact::hour, {}, Degrees::kelvin,
     "kelvin an hour", "100K/h"},
    {"K/min", {"dK/min"}, dimension::rate, exact::one / exact::minute, {}, Degrees::kelvin,
     "kelvin a minute", "2K/min"},

    // --- durations ---
    {"s", {}, dimension::duration, exact::one, {}, {}, "seconds", "90s"},
    {"m", {}, dimension::duration, exact::minute, {}, {}, "minutes (never metres)", "20m"},
    {"min", {}, dimension::duration, exact::minute, {}, {}, "minutes", "20min"},
    {"h", {}, dimension::duration, exact::hour, {}, {}, "hours", "1h30m"},
    {"d", {}, dimension::duration, exact::day, {}, {}, "days of 24 hours", "2d4h"},

    // --- lengths, areas, volumes ---
    {"mm", {}, dimension::length, exact::thousandth, {}, {}, "millimetres", "8mm"},
    {"cm", {}, dimension::length, exact::hundredth, {}, {}, "centimetres", "2.5cm"},
    {"metre", {}, dimension::length, exact::one, {}, {}, "metres", "1600metre"},
    {"in", {}, dimension::length, exact::inch, {}, {}, "inches", "0.3in"},
    {"ft", {}, dimension::length, exact::foot, {}, {}, "feet", "5280ft"},
    {"mm2", {}, dimension::area, exact::millionth, {}, {}, "square millimetres", "50mm2"},
    {"cm2", {}, dimension::area, exact::hundredth * exact::hundredth, {}, {}, "square centimetres",
     "600cm2"},
    {"metre2", {}, dimension::area, exact::one, {}, {}, "square metres", "2.4metre2"},
    {"in2", {}, dimension::area, exact::square_inch, {}, {}, "square inches", "144in2"},
    {"ft2", {}, dimension::area, exact::square_foot, {}, {}, "square feet", "4ft2"},
    {"ml", {"mL"}, dimension::volume, exact::cubic_centimetre, {}, {}, "millilitres", "250ml"},
    {"L", {}, dimension::volume, exact::litre, {}, {}, "litres", "180L"},
    {"cm3", {}, dimension::volume, exact::cubic_centimetre, {}, {}, "cubic centimetres", "12cm3"},
    {"metre3", {}, dimension::volume, exact::one, {}, {}, "cubic metres", "0.5metre3"},
    {"in3", {}, dimension::volume, exact::cubic_inch, {}, {}, "cubic inches", "90in3"},
    {"ft3", {}, dimension::volume, exact::cubic_foot, {}, {}, "cubic feet", "7ft3"},

    // --- masses ---
    {"g", {}, dimension::mass, exact::thousandth, {}, {}, "grams", "350g"},
    {"kg", {}, dimension::mass, exact::one, {}, {}, "kilograms", "35kg"},
    {"lb", {}, dimension::mass, exact::pound, {}, {}, "pounds", "10lb"},
    {"oz", {}, dimension::mass, exact::ounce, {}, {}, "ounces, 16 to the pound", "12oz"},

    // --- power, energy, current ---
    {"W", {}, dimension::power, exact::one, {}, {}, "watts", "750W"},
    {"kW", {}, dimension::power, exact::thousand, {}, {}, "kilowatts", "9kW"},
    {"BTU/h", {"Btu/h"}, dimension::power, exact::btu / exact::hour, {}, {},
     "British thermal units an hour (burners)", "40000BTU/h"},
    {"J", {}, dimension::energy, exact::one, {}, {}, "joules", "500J"},
    {"kJ", {}, dimension::energy, exact::thousand, {}, {}, "kilojoules", "900kJ"},
    {"MJ", {}, dimension::energy, exact::million, {}, {}, "megajoules", "5MJ"},
    {"Wh", {}, dimension::energy, exact::hour, {}, {}, "watt hours", "800Wh"},
    {"kWh", {}, dimension::energy, exact::kwh, {}, {}, "kilowatt hours", "60kWh"},
    {"BTU", {"Btu"}, dimension::energy, exact::btu, {}, {},
     "British thermal units (International Steam Tables)", "12000BTU"},
    {"A", {}, dimension::current, exact::one, {}, {}, "amperes", "40A"},

    // --- pressures, strengths, stiffnesses ---
    {"Pa", {}, dimension::pressure, exact::one, {}, {}, "pascals", "250Pa"},
    {"kPa", {}, dimension::pressure, exact::thousand, {}, {}, "kilopascals", "3.5kPa"},
    {"MPa", {}, dimension::pressure, exact::million, {}, {}, "megapascals", "60MPa"},
    {"GPa", {}, dimension::pressure, exact::thousand * exact::million, {}, {}, "gigapascals",
     "70GPa"},
    {"mbar", {}, dimension::pressure, {100, 1}, {}, {}, "millibars", "37mbar"},
    {"bar", {}, dimension::pressure, {100'000, 1}, {}, {}, "bars", "1.5bar"},
    {"psi", {}, dimension::pressure, exact::psi, {}, {}, "pounds of force a square inch", "0.5psi"},

    // --- shares ---
    {"%", {}, dimension::fraction, exact::hundredth, {}, {}, "hundredths", "1.2%"},
    {"ppm", {}, dimension::fraction, exact::millionth, {}, {}, "millionths", "35ppm"},

    // --- thermal expansion ---
    {"ppm/K", {"ppm/C"}, dimension::expansion, exact::millionth, {}, Degrees::kelvin,
     "millionths a kelvin", "6.5ppm/K"},
    {"ppm/F", {}, dimension::expansion, exact::millionth / exact::fahrenheit, {},
     Degrees::fahrenheit, "millionths a degree Fahrenheit", "3.6ppm/F"},
    {"/K", {"/C"}, dimension::expansion, exact::one, {}, Degrees::kelvin, "a kelvin",
     "0.0000065/K"},

    // --- heat in and through materials ---
    {"W/metre/K", {"W/metre/C"}, dimension::conductivity, exact::one, {}, Degrees::kelvin,
     "watts a metre and kelvin", "1.1W/metre/K"},
    {"W/metre/K/K", {"W/metre/C/C"}, dimension::conductivity_rise, exact::one, {}, Degrees::kelvin,
     "the rise of a conductivity with each kelvin", "0.0002W/metre/K/K"},
    {"J/kg/K", {"J/kg/C"}, dimension::specific_heat, exact::one, {}, Degrees::kelvin,
     "joules a kilogram and kelvin", "1050J/kg/K"},
    {"kJ/kg/K", {"kJ/kg/C"}, dimension::specific_heat, exact::thousand, {}, Degrees::kelvin,
     "kilojoules a kilogram and kelvin", "1.05kJ/kg/K"},
    {"BTU/lb/F", {"Btu/lb/F"}, dimension::specific_heat,
     exact::btu / exact::pound / exact::fahrenheit, {}, Degrees::fahrenheit,
     "British thermal units a pound and degree Fahrenheit", "0.25BTU/lb/F"},
    {"J/K", {"J/C"}, dimension::heat_capacity, exact::one, {}, Degrees::kelvin, "joules a kelvin",
     "900J/K"},
    {"kJ/K", {"kJ/C"}, dimension::heat_capacity, exact::thousand, {}, Degrees::kelvin,
     "kilojoules a kelvin", "85kJ/K"},
    {"W/K", {"W/C"}, dimension::heat_loss, exact::one, {}, Degrees::kelvin, "watts a kelvin",
     "2.5W/K"},
    {"W/metre2", {}, dimension::flux, exact::one, {}, {}, "watts a square metre", "1200W/metre2"},
    {"kW/metre2", {}, dimension::flux, exact::thousand, {}, {}, "kilowatts a square metre",
     "15kW/metre2"},
    {"W/metre2/K", {"W/metre2/C"}, dimension::heat_transfer, exact::one, {}, Degrees::kelvin,
     "watts a square metre and kelvin", "10W/metre2/K"},
    {"J/kg", {}, dimension::heat_per_mass, exact::one, {}, {}, "joules a kilogram", "500J/kg"},
    {"kJ/kg", {}, dimension::heat_per_mass, exact::thousand, {}, {}, "kilojoules a kilogram",
     "2260kJ/kg"},
    {"MJ/kg", {}, dimension::heat_per_mass, exact::million, {}, {}, "megajoules a kilogram",
     "46MJ/kg"},
    {"kWh/kg", {}, dimension::heat_per_mass, exact::kwh, {}, {}, "kilowatt hours a kilogram",
     "1.8kWh/kg"},
    {"BTU/lb", {"Btu/lb"}, dimension::heat_per_mass, exact::btu / exact::pound, {}, {},
     "British thermal units a pound", "970BTU/lb"},
    {"metre2/s", {}, dimension::diffusivity, exact::one, {}, {}, "square metres a second",
     "0.0000005metre2/s"},
    {"mm2/s", {}, dimension::diffusivity, exact::millionth, {}, {}, "square millimetres a second",
     "0.5mm2/s"},
    {"C/mm", {"K/mm", "dC/mm"}, dimension::gradient, exact::thousand, {}, Degrees::celsius,
     "degrees Celsius a millimetre", "3C/mm"},
    {"F/in", {"dF/in"}, dimension::gradient, exact::fahrenheit / exact::inch, {},
     Degrees::fahrenheit, "degrees Fahrenheit an inch", "90F/in"},

    // --- by volume, by thickness, by time ---
    {"kg/metre3", {}, dimension::density, exact::one, {}, {}, "kilograms a cubic metre",
     "2600kg/metre3"},
    {"g/cm3", {"g/ml", "kg/L"}, dimension::density, exact::thousand, {}, {},
     "grams a cubic centimetre", "2.6g/cm3"},
    {"lb/ft3", {}, dimension::density, exact::pound / exact::cubic_foot, {}, {},
     "pounds a cubic foot", "160lb/ft3"},
    {"h/mm", {}, dimension::duration_per_length, exact::hour * exact::thousand, {}, {},
     "hours a millimetre of thickness", "0.25h/mm"},
    {"h/cm", {}, dimension::duration_per_length, exact::hour / exact::hundredth, {}, {},
     "hours a centimetre of thickness", "2h/cm"},
    {"min/mm", {}, dimension::duration_per_length, exact::minute * exact::thousand, {}, {},
     "minutes a millimetre of thickness", "15min/mm"},
    {"h/in", {}, dimension::duration_per_length, exact::hour / exact::inch, {}, {},
     "hours an inch of thickness", "6h/in"},
    {"kg/h", {}, dimension::mass_flow, exact::one / exact::hour, {}, {}, "kilograms an hour",
     "1.4kg/h"},
    {"lb/h", {}, dimension::mass_flow, exact::pound / exact::hour, {}, {}, "pounds an hour",
     "3lb/h"},
    {"metre3/h", {}, dimension::volume_flow, exact::one / exact::hour, {}, {},
     "cubic metres an hour", "2metre3/h"},
    {"L/min", {}, dimension::volume_flow, exact::litre / exact::minute, {}, {}, "litres a minute",
     "30L/min"},
    {"ft3/h", {}, dimension::volume_flow, exact::cubic_foot / exact::hour, {}, {},
     "cubic feet an hour", "90ft3/h"},

    // --- prices: money has no name, only what it buys ---
    {"/kWh", {}, dimension::price, exact::one / exact::kwh, {}, {}, "of money a kilowatt hour",
     "0.31/kWh"},
    {"/MJ", {}, dimension::price, exact::millionth, {}, {}, "of money a megajoule", "0.03/MJ"},
    {"/kg", {}, dimension::price_of_mass, exact::one, {}, {}, "of money a kilogram", "2.4/kg"},
    {"/lb", {}, dimension::price_of_mass, exact::one / exact::pound, {}, {}, "of money a pound",
     "1.1/lb"},
    {"/L", {}, dimension::price_of_volume, exact::thousand, {}, {}, "of money a litre", "0.9/L"},
    {"/metre3", {}, dimension::price_of_volume, exact::one, {}, {}, "of money a cubic metre",
     "0.85/metre3"},
    {"/ft3", {}, dimension::price_of_volume, exact::one / exact::cubic_foot, {}, {},
     "of money a cubic foot", "0.02/ft3"},
};
// clang-format on

// --- identities ----------------------------------------------------------------------------------

inline constexpr UnitId unit_count = static_cast<UnitId>(std::size(units));
// A duration written in parts, "1h30m" or with days "2d4h"; both stand outside the table.
inline constexpr UnitId parts_of_hours = unit_count + 1;
inline constexpr UnitId parts_of_days = unit_count + 2;

// The row of an identity from 1 to unit_count.
constexpr const Unit& unit_of(UnitId id) {
    return units[id - 1u];
}

// For names known when the compiler is built; a name that the table lacks does not compile.
consteval UnitId unit_named(std::string_view name) {
    for (std::size_t i = 0; i < std::size(units); ++i) {
        if (units[i].name == name) {
            return static_cast<UnitId>(i + 1);
        }
    }
    throw "no such unit in the table";
}

// By name or alias, compound units included as far as they have a row; 0: no such unit.
UnitId find_unit(std::string_view spelling);

// What a unit measures; that of a duration for the two kinds of parts, of a number for 0.
Dimension dimension_of(UnitId id);

// --- conversion ----------------------------------------------------------------------------------

// base = (number × num + offset) / den. All three are whole numbers below 2^53, so that with a
// number of few digits the division is the only rounding: 1in and 25.4mm come out the same.
struct Conversion {
    double num = 1, den = 1, offset = 0;
};

// For 0 and the two kinds of parts the number is in base units already.
const Conversion& conversion_of(UnitId id);

// For the decimal mantissa / power, power a power of ten.
constexpr double to_base(double mantissa, double power, const Conversion& by) {
    return (mantissa * by.num + by.offset * power) / (by.den * power);
}
constexpr double to_base(double number, const Conversion& by) {
    return to_base(number, 1, by);
}
constexpr double from_base(double base, const Conversion& by) {
    return (base * by.den - by.offset) / by.num;
}

// The number in front of `unit` for a value in base units, and the reverse.
double in_unit(double base, UnitId unit);
double from_unit(double number, UnitId unit);

} // namespace fettle
