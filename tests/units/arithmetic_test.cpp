#include "compiler/units/quantity.h"

#include "compiler/units/unit_table.h"
#include "tests/units/reading.h"

#include <gtest/gtest.h>

namespace fettle {
namespace {

using namespace dimension;

Refusal refusal(const DimensionResult& result) {
    EXPECT_TRUE(std::holds_alternative<Refusal>(result));
    return std::holds_alternative<Refusal>(result) ? std::get<Refusal>(result)
                                                   : Refusal::exponent_overflow;
}

Dimension given(const DimensionResult& result) {
    EXPECT_TRUE(std::holds_alternative<Dimension>(result));
    return std::holds_alternative<Dimension>(result) ? std::get<Dimension>(result) : Dimension{};
}

TEST(Arithmetic, WhatIsAllowedOfTemperatures) {
    EXPECT_EQ(given(subtract(temperature, temperature)), difference);
    EXPECT_EQ(given(add(temperature, difference)), temperature);
    EXPECT_EQ(given(add(difference, temperature)), temperature);
    EXPECT_EQ(given(subtract(temperature, difference)), temperature);
    EXPECT_EQ(given(add(difference, difference)), difference);
    EXPECT_EQ(given(subtract(difference, difference)), difference);
    EXPECT_EQ(given(multiply(rate, duration)), difference);
    EXPECT_EQ(given(multiply(duration, rate)), difference);
    EXPECT_EQ(given(divide(difference, rate)), duration);
    EXPECT_EQ(given(divide(difference, duration)), rate);
    EXPECT_EQ(given(divide(difference, difference)), number);
    EXPECT_EQ(given(multiply(number, difference)), difference);
    EXPECT_EQ(given(negate(difference)), difference);
}

TEST(Arithmetic, WhatIsRefusedOfTemperatures) {
    EXPECT_EQ(refusal(add(temperature, temperature)), Refusal::temperature_plus_temperature);
    EXPECT_EQ(refusal(multiply(number, temperature)), Refusal::temperature_times_number);
    EXPECT_EQ(refusal(multiply(temperature, number)), Refusal::temperature_times_number);
    EXPECT_EQ(refusal(divide(temperature, number)), Refusal::temperature_times_number);
    EXPECT_EQ(refusal(multiply(temperature, fraction)), Refusal::temperature_times_number);
    EXPECT_EQ(refusal(divide(number, temperature)), Refusal::temperature_in_product);
    EXPECT_EQ(refusal(multiply(temperature, duration)), Refusal::temperature_in_product);
    EXPECT_EQ(refusal(multiply(temperature, temperature)), Refusal::temperature_in_product);
    EXPECT_EQ(refusal(divide(temperature, temperature)), Refusal::temperature_in_product);
    EXPECT_EQ(refusal(divide(temperature, difference)), Refusal::temperature_in_product);
    EXPECT_EQ(refusal(divide(temperature, rate)), Refusal::temperature_in_product);
    EXPECT_EQ(refusal(subtract(difference, temperature)), Refusal::difference_minus_temperature);
    EXPECT_EQ(refusal(negate(temperature)), Refusal::negative_temperature_point);
    EXPECT_EQ(refusal(add(temperature, number)), Refusal::different_dimensions);
    EXPECT_EQ(refusal(add(length, temperature)), Refusal::different_dimensions);
    EXPECT_EQ(refusal(subtract(temperature, duration)), Refusal::different_dimensions);
    EXPECT_EQ(refusal(subtract(number, temperature)), Refusal::different_dimensions);
}

TEST(Arithmetic, SumsNeedOneDimension) {
    EXPECT_EQ(given(add(length, length)), length);
    EXPECT_EQ(refusal(add(length, duration)), Refusal::different_dimensions);
    EXPECT_EQ(refusal(subtract(length, number)), Refusal::different_dimensions);
    EXPECT_EQ(refusal(add(mass, fraction)), Refusal::different_dimensions);
    EXPECT_EQ(refusal(add(price, energy)), Refusal::different_dimensions);
}

TEST(Arithmetic, SharesAndNumbersMixByProductsOnly) {
    EXPECT_EQ(refusal(add(fraction, number)), Refusal::fraction_and_number);
    EXPECT_EQ(refusal(subtract(number, fraction)), Refusal::fraction_and_number);
    EXPECT_EQ(given(add(fraction, fraction)), fraction);
    EXPECT_EQ(given(multiply(fraction, number)), fraction);
    EXPECT_EQ(given(multiply(number, fraction)), fraction);
    EXPECT_EQ(given(multiply(fraction, fraction)), fraction);
    EXPECT_EQ(given(divide(fraction, number)), fraction);
    EXPECT_EQ(given(divide(fraction, fraction)), number);
    EXPECT_EQ(given(divide(number, fraction)), number);
    EXPECT_EQ(given(multiply(fraction, mass)), mass);
    EXPECT_EQ(given(multiply(mass, fraction)), mass);
    EXPECT_EQ(given(divide(mass, mass)), number);
    EXPECT_EQ(given(divide(fraction, difference)), expansion);
}

TEST(Arithmetic, UnitsOfTheTrade) {
    EXPECT_EQ(given(multiply(power, duration)), energy);
    EXPECT_EQ(given(multiply(energy, price)), dimension::money);
    EXPECT_EQ(given(divide(mass, volume)), density);
    EXPECT_EQ(given(multiply(multiply(length, length).index() == 0 ? area : number, length)),
              volume);
    EXPECT_EQ(given(divide(power, difference)), heat_loss);
    EXPECT_EQ(given(multiply(heat_loss, duration)), heat_capacity);
    EXPECT_EQ(given(divide(heat_capacity, mass)), specific_heat);
    EXPECT_EQ(given(divide(heat_loss, length)), conductivity);
}

TEST(Arithmetic, ExponentsHaveAnEnd) {
    Dimension power_of_two = length;
    for (int i = 0; i < 6; ++i) {
        power_of_two = given(multiply(power_of_two, power_of_two));
    }
    EXPECT_EQ(power_of_two.length, 64);
    EXPECT_EQ(refusal(multiply(power_of_two, power_of_two)), Refusal::exponent_overflow);
    const Dimension inverse = given(divide(number, power_of_two));
    EXPECT_EQ(given(divide(inverse, power_of_two)).length, -128);
    EXPECT_EQ(refusal(divide(divide(inverse, power_of_two).index() == 0 ? Dimension{.length = -128}
                                                                        : number,
                             length)),
              Refusal::exponent_overflow);
}

TEST(Arithmetic, ComparisonsAreOfOneKind) {
    EXPECT_TRUE(comparable(temperature, temperature));
    EXPECT_FALSE(comparable(temperature, difference));
    EXPECT_FALSE(comparable(length, duration));
    EXPECT_FALSE(comparable(fraction, number));
}

UnitId unit_of_result(std::string_view a, std::string_view b, Dimension result) {
    return result_unit(quantity(a).unit, quantity(b).unit, result);
}

TEST(ResultUnit, FollowsTheOperands) {
    EXPECT_EQ(unit_of_result("600C", "550C", difference), unit_named("dC"));
    EXPECT_EQ(unit_of_result("1112F", "32F", difference), unit_named("dF"));
    EXPECT_EQ(unit_of_result("873K", "273K", difference), unit_named("dK"));
    EXPECT_EQ(unit_of_result("600C", "20dF", temperature), unit_named("C"));
    EXPECT_EQ(unit_of_result("20dC", "1112F", temperature), unit_named("F"));
    EXPECT_EQ(unit_of_result("100C/h", "2h", difference), unit_named("dC"));
    EXPECT_EQ(unit_of_result("2h", "180F/h", difference), unit_named("dF"));
    EXPECT_EQ(unit_of_result("36dF", "2h", rate), unit_named("F/h"));
    EXPECT_EQ(unit_of_result("2C/min", "2", rate), unit_named("C/min"));
    EXPECT_EQ(unit_of_result("1h30m", "20m", duration), parts_of_hours);
    EXPECT_EQ(unit_of_result("2", "8mm", length), unit_named("mm"));
    EXPECT_EQ(unit_of_result("20dC", "100C/h", duration), 0);
    EXPECT_EQ(unit_of_result("9kW", "2h", energy), 0);
    EXPECT_EQ(unit_of_result("6.5ppm/K", "20", difference), 0); // no degrees to count in
}

// "within 5C": five degrees of difference, as they were typed.
TEST(AsDifference, KeepsTheNumberThatWasTyped) {
    const std::pair<std::string_view, std::string_view> rows[] = {
        {"5C", "5dC"},       {"9F", "9dF"},     {"5K", "5dK"},     {"0.1F", "0.1dF"},
        {"12.5C", "12.5dC"}, {"7.7F", "7.7dF"}, {"0.3K", "0.3dK"}, {"0F", "0dF"},
    };
    for (const auto& [point, step] : rows) {
        const Quantity read = as_difference(quantity(point));
        EXPECT_EQ(read.value, value(step)) << point;
        EXPECT_EQ(read.dimension, difference);
        EXPECT_EQ(print(read), step);
    }
    EXPECT_EQ(print(as_difference(quantity("5mm"))), "5mm");
}

TEST(Scales, MeetHere) {
    EXPECT_EQ(to_scale(100, Scale::fahrenheit), 212);
    EXPECT_EQ(to_scale(600, Scale::fahrenheit), 1112);
    EXPECT_EQ(to_scale(-40, Scale::fahrenheit), -40);
    EXPECT_EQ(to_scale(600, Scale::celsius), 600);
    EXPECT_EQ(from_scale(1112, Scale::fahrenheit), 600);
    EXPECT_EQ(from_scale(600, Scale::celsius), 600);
    EXPECT_EQ(difference_to_scale(100, Scale::fahrenheit), 180);
    EXPECT_EQ(difference_from_scale(180, Scale::fahrenheit), 100);
    EXPECT_EQ(difference_to_scale(100, Scale::celsius), 100);
    EXPECT_EQ(difference_from_scale(100, Scale::celsius), 100);
}

} // namespace
} // namespace fettle
