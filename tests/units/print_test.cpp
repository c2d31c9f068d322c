#include "compiler/units/quantity.h"

#include "compiler/units/unit_table.h"
#include "tests/units/reading.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <random>

namespace fettle {
namespace {

std::string reprinted(std::string_view literal) {
    return print(quantity(literal));
}

TEST(Print, AsItWasTyped) {
    for (const std::string_view literal : {"600C",
                                           "1112F",
                                           "873K",
                                           "-5C",
                                           "20dC",
                                           "36dF",
                                           "0.1dF",
                                           "100C/h",
                                           "180F/h",
                                           "2C/min",
                                           "90s",
                                           "20m",
                                           "20min",
                                           "2h",
                                           "1d",
                                           "36h",
                                           "1h30m",
                                           "1h30m20s",
                                           "2d4h",
                                           "1m30s",
                                           "26h30m",
                                           "1d2h30m",
                                           "-1h30m",
                                           "8mm",
                                           "2.5cm",
                                           "0.3in",
                                           "0.1in",
                                           "1600metre",
                                           "5280ft",
                                           "35kg",
                                           "10lb",
                                           "0.7oz",
                                           "180L",
                                           "7ft3",
                                           "9kW",
                                           "60kWh",
                                           "5MJ",
                                           "0.31/kWh",
                                           "1.2%",
                                           "35ppm",
                                           "12",
                                           "12.5",
                                           "0.1",
                                           "-3",
                                           "2600kg/metre3",
                                           "2.6g/cm3",
                                           "1.1W/metre/K",
                                           "6.5ppm/K",
                                           "0.0000065/K",
                                           "573.4C",
                                           "1063.123456F",
                                           "0.3K",
                                           "600.123456789C",
                                           "123456789012mm",
                                           "1234567.12345C",
                                           "600.123456789012C",
                                           "0.333333333333333h",
                                           "1050J/kg/K",
                                           "0.5psi",
                                           "12000BTU",
                                           "0C",
                                           "0F",
                                           "31.9999F",
                                           "459.67F"}) {
        EXPECT_EQ(reprinted(literal), literal);
    }
    EXPECT_EQ(reprinted("600°C"), "600C");
    EXPECT_EQ(reprinted("600.0C"), "600C");
    EXPECT_EQ(reprinted("1h90m"), "2h30m");
}

// Every unit of the table, by many numbers of up to 12 digits: printed as typed, read back the
// same.
TEST(Print, RoundTripOfEveryUnit) {
    std::mt19937_64 random(20240607);
    for (UnitId id = 1; id <= unit_count; ++id) {
        const Unit& unit = unit_of(id);
        for (int i = 0; i < 2000; ++i) {
            const int digits = 1 + static_cast<int>(random() % 12);
            const auto limit = static_cast<std::uint64_t>(std::pow(10.0, digits));
            std::string number = std::to_string(random() % limit);
            // With differences and temperatures the last decimal is the ninth.
            const std::size_t decimals = random() % std::min<std::size_t>(number.size() + 2, 10);
            if (decimals > 0) {
                number.insert(0, number.size() <= decimals ? decimals + 1 - number.size() : 0, '0');
                number.insert(number.size() - decimals, ".");
            }
            const std::string literal = number + std::string(unit.name);
            const Quantity first = quantity(literal);
            const std::string printed = print(first);
            const Quantity second = quantity(printed);
            ASSERT_EQ(first.value, second.value) << literal << " printed as " << printed;
            ASSERT_EQ(first.dimension, second.dimension) << literal;
            ASSERT_EQ(first.unit, second.unit) << literal;
            ASSERT_LE(printed.size(), literal.size()) << literal << " printed as " << printed;
        }
    }
}

// What comes out of arithmetic is read back to within the nine digits that are shown.
TEST(Print, RoundTripOfComputedValues) {
    std::mt19937_64 random(7);
    std::uniform_real_distribution<double> exponent(-4, 6);
    for (UnitId id = 0; id <= unit_count; ++id) {
        for (int i = 0; i < 500; ++i) {
            const double base = from_unit(std::pow(10.0, exponent(random)), id);
            const Quantity computed{base, dimension_of(id), id};
            // Differences and durations are shown to 11 decimals: below them lies what is left of
            // subtractions.
            const bool to_11_decimals = computed.dimension == dimension::difference ||
                                        computed.dimension == dimension::duration;
            const double least = computed.dimension.point ? 273.15
                                 : to_11_decimals         ? from_unit(1e-3, id)
                                                          : 0.0;
            const double scale = std::max(std::abs(base), least);
            ASSERT_NEAR(value(print(computed)), base, 1e-8 * scale) << print(computed);
        }
    }
}

TEST(Print, RoundTripOfDurationsInParts) {
    std::mt19937_64 random(3);
    for (int i = 0; i < 5000; ++i) {
        const double seconds = static_cast<double>(random() % 1'000'000);
        for (const UnitId unit : {parts_of_hours, parts_of_days}) {
            EXPECT_EQ(value(print({seconds, dimension::duration, unit})), seconds);
        }
        EXPECT_EQ(value(print_duration(seconds)), seconds);
        EXPECT_EQ(value(print({seconds, dimension::duration, 0})), seconds);
    }
}

TEST(Print, NoBinaryNoise) {
    EXPECT_EQ(print({0.1 + 0.2, dimension::number, 0}), "0.3");
    EXPECT_EQ(print({value("0.1mm") + value("0.2mm"), dimension::length, unit_named("mm")}),
              "0.3mm");
    EXPECT_EQ(print({value("600.1C") - value("600C"), dimension::difference, unit_named("dC")}),
              "0.1dC");
    EXPECT_EQ(print({0.3 - 0.1 - 0.2, dimension::difference, unit_named("dC")}), "0dC");
    EXPECT_EQ(print({value("6mm") / 7, dimension::length, 0}), "0.857142857mm");
    EXPECT_EQ(print({1.0 / 3, dimension::number, 0}), "0.333333333");
    double sum = 0;
    for (int i = 0; i < 10; ++i) {
        sum += value("0.1C/h");
    }
    EXPECT_EQ(print({sum, dimension::rate, unit_named("C/h")}), "1C/h");
    EXPECT_EQ(print({-0.0, dimension::number, 0}), "0");
}

TEST(Print, ChoosesAUnitThatSuits) {
    EXPECT_EQ(print({600, dimension::temperature, 0}), "600C");
    EXPECT_EQ(print({20, dimension::difference, 0}), "20dC");
    EXPECT_EQ(print({100.0 / 3600, dimension::rate, 0}), "100C/h");
    EXPECT_EQ(print({20880, dimension::duration, 0}), "5h48m");
    EXPECT_EQ(print({0.5, dimension::duration, 0}), "0.5s");
    EXPECT_EQ(print({0.008, dimension::length, 0}), "8mm");
    EXPECT_EQ(print({-0.008, dimension::length, 0}), "-8mm");
    EXPECT_EQ(print({1.5, dimension::length, 0}), "1.5metre");
    EXPECT_EQ(print({12, dimension::mass, 0}), "12kg");
    EXPECT_EQ(print({0.18, dimension::volume, 0}), "180L");
    EXPECT_EQ(print({9000, dimension::power, 0}), "9kW");
    EXPECT_EQ(print({6.48e7, dimension::energy, 0}), "18kWh");
    EXPECT_EQ(print({3700, dimension::pressure, 0}), "3.7kPa");
    EXPECT_EQ(print({0.012, dimension::fraction, 0}), "1.2%");
    EXPECT_EQ(print({6.5e-6, dimension::expansion, 0}), "6.5ppm/K");
    EXPECT_EQ(print({0.31 / 3.6e6, dimension::price, 0}), "0.31/kWh");
    EXPECT_EQ(print({18.6, dimension::money, 0}), "18.6");
    EXPECT_EQ(print({3, dimension::number, 0}), "3");
    EXPECT_EQ(reprinted("2kg/metre2"), "2kg/metre2");
    EXPECT_EQ(reprinted("36kg/metre/h"), "0.01kg/metre/s");
    EXPECT_EQ(print({2, {.length = 4, .mass = 1, .time = -2}, 0}), "2kg·metre3·metre/s/s");
    EXPECT_EQ(print({2, {.time = -1}, 0}), "2/s");
}

// A unit that no longer fits (a point read as a difference) does not lie.
TEST(Print, AUnitThatDoesNotFitIsReplaced) {
    EXPECT_EQ(print({5, dimension::difference, unit_named("C")}), "5dC");
    EXPECT_EQ(print({5, dimension::difference, unit_named("F")}), "9dF");
    EXPECT_EQ(print({5, dimension::length, unit_named("kg")}), "5metre");
}

TEST(Print, InAScale) {
    const auto in = [](std::string_view literal, Scale scale) {
        return print(quantity(literal), scale);
    };
    EXPECT_EQ(in("600C", Scale::fahrenheit), "1112F");
    EXPECT_EQ(in("100C", Scale::fahrenheit), "212F");
    EXPECT_EQ(in("100dC", Scale::fahrenheit), "180dF");
    EXPECT_EQ(in("100C/h", Scale::fahrenheit), "180F/h");
    EXPECT_EQ(in("2C/min", Scale::fahrenheit), "3.6F/min");
    EXPECT_EQ(in("1112F", Scale::celsius), "600C");
    EXPECT_EQ(in("873K", Scale::celsius), "599.85C");
    EXPECT_EQ(in("100K/min", Scale::celsius), "100C/min");
    EXPECT_EQ(in("1000F", Scale::celsius), "537.777778C");
    EXPECT_EQ(in("600C", Scale::celsius), "600C");
    EXPECT_EQ(in("8mm", Scale::fahrenheit), "8mm");
    EXPECT_EQ(in("1h30m", Scale::fahrenheit), "1h30m");
    EXPECT_EQ(print({100.0 / 3600, dimension::rate, 0}, Scale::fahrenheit), "180F/h");
    EXPECT_EQ(print_temperature(600, Scale::celsius), "600C");
    EXPECT_EQ(print_temperature(600, Scale::fahrenheit), "1112F");
    EXPECT_EQ(print_temperature(573.46, Scale::celsius, 1), "573.5C");
    EXPECT_EQ(print_temperature(-0.2, Scale::celsius), "0C");
    EXPECT_EQ(print_difference(20, Scale::fahrenheit), "36dF");
    EXPECT_EQ(print_rate(100, Scale::celsius), "100C/h");
    EXPECT_EQ(print_rate(100, Scale::fahrenheit), "180F/h");
}

TEST(Print, Numbers) {
    EXPECT_EQ(print_number(12.5), "12.5");
    EXPECT_EQ(print_number(600), "600");
    EXPECT_EQ(print_number(1e20), "100000000000000000000");
    EXPECT_EQ(print_number(1e-9), "0.000000001");
    EXPECT_EQ(print_number(2.0 / 3), "0.666666667");
    EXPECT_EQ(print_number(1234567.891234), "1234567.89");
    EXPECT_EQ(print_number(123456789012345), "123456789012345");
    EXPECT_EQ(print_number(-1e-300).size(), 303u);
    EXPECT_EQ(print_number(std::numeric_limits<double>::max()).size(), 309u);
    EXPECT_EQ(print_number(std::numeric_limits<double>::denorm_min()).substr(0, 3), "0.0");
    EXPECT_EQ(print_number(12.50, 1), "12.5");
    EXPECT_EQ(print_number(12.50, 0), "13");
    EXPECT_EQ(print_number(2.675, 2), "2.68");
    EXPECT_EQ(print_number(-0.04, 1), "0");
    EXPECT_EQ(print_number(0.05, 1), "0.1");
    EXPECT_EQ(print_number(1e-9, 3), "0");
    EXPECT_EQ(print_number(99.96, 1), "100");
    EXPECT_EQ(print_number(std::nan("")), "not a number");
    EXPECT_EQ(print_number(-std::numeric_limits<double>::infinity(), 2), "-infinite");
}

TEST(Print, Durations) {
    const std::pair<double, std::string_view> rows[] = {
        {0, "0s"},         {1, "1s"},      {60, "1m"},      {90, "90s"},      {119, "119s"},
        {120, "2m"},       {125, "2m5s"},  {1200, "20m"},   {3600, "1h"},     {5400, "1h30m"},
        {62400, "17h20m"}, {86400, "24h"}, {129600, "36h"}, {187200, "2d4h"}, {172800, "2d"},
        {-5400, "-1h30m"}, {3599.6, "1h"}, {0.4, "0s"},     {-0.4, "0s"},     {7384, "2h3m4s"},
    };
    for (const auto& [seconds, text] : rows) {
        EXPECT_EQ(print_duration(seconds), text) << seconds;
    }
    EXPECT_EQ(print_duration(1e300).back(), 'd');
    EXPECT_EQ(print_duration(std::numeric_limits<double>::infinity()), "infinite");
}

TEST(Print, Clocks) {
    EXPECT_EQ(print_clock(81000), "22:30");
    EXPECT_EQ(print_clock(0), "00:00");
    EXPECT_EQ(print_clock(25500), "07:05");
    EXPECT_EQ(print_clock(86400 + 3600), "01:00");
    EXPECT_EQ(print_clock(-3600), "23:00");
    EXPECT_EQ(print_clock(86399), "00:00");
    for (int minute = 0; minute < 24 * 60; ++minute) {
        EXPECT_EQ(parse_clock(print_clock(minute * 60.0)), minute * 60.0);
    }
}

TEST(Describe, InAReadersWords) {
    EXPECT_EQ(describe(dimension::temperature), "a temperature");
    EXPECT_EQ(describe(dimension::rate), "a rate of climb");
    EXPECT_EQ(describe(dimension::length), "a length");
    EXPECT_EQ(describe(dimension::number), "a number");
    EXPECT_EQ(describe({.length = -2, .mass = 1}), "something in kg/metre2");
    EXPECT_EQ(describe({.time = -1}), "something in 1/s");
    EXPECT_EQ(describe({.time = -1, .money = 1}), "money and something in 1/s");
}

} // namespace
} // namespace fettle
