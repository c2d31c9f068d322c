#include "runtime/log/thermocouple.h"

#include <cmath>
#include <gtest/gtest.h>

namespace fettle {
namespace {

TEST(Thermocouple, ThereAndBackIsTheSame) {
    for (const ThermocoupleType type : thermocouple_types) {
        const double to = defined_range(type).to_c;
        for (double celsius = inverse_from_c(type) + 1; celsius <= to; celsius += 7.3) {
            const auto back = celsius_from_millivolts(type, millivolts(type, celsius));
            ASSERT_TRUE(back) << to_word(type) << celsius;
            EXPECT_NEAR(*back, celsius, 1e-6) << to_word(type);
            const auto near = celsius_from_millivolts(type, millivolts(type, celsius), celsius - 2);
            EXPECT_NEAR(*near, celsius, 1e-6) << to_word(type);
        }
    }
}

TEST(Thermocouple, PiecesOfAFunctionMeet) {
    using enum ThermocoupleType;
    for (const auto& [type, join] : {std::pair{k, 0.0},
                                     {n, 0.0},
                                     {r, 1064.18},
                                     {r, 1664.5},
                                     {s, 1064.18},
                                     {s, 1664.5},
                                     {b, 630.615}})
        EXPECT_NEAR(millivolts(type, join - 1e-9), millivolts(type, join + 1e-9), 2e-6);
}

TEST(Thermocouple, MoreMillivoltsAreAlwaysHotter) {
    for (const ThermocoupleType type : thermocouple_types) {
        double last = -100;
        for (double celsius = std::max(-200.0, inverse_from_c(type));
             celsius < defined_range(type).to_c; celsius += 1) {
            EXPECT_GT(millivolts(type, celsius), last) << to_word(type) << celsius;
            last = millivolts(type, celsius);
        }
    }
}

TEST(Thermocouple, TheOtherJunctionIsAdded) {
    // 1222 C against a junction at 25 C.
    const double measured =
        millivolts(ThermocoupleType::k, 1222) - millivolts(ThermocoupleType::k, 25);
    EXPECT_NEAR(*celsius_from_millivolts_at(ThermocoupleType::k, measured, 25), 1222, 1e-6);
    EXPECT_NEAR(*celsius_from_millivolts_at(ThermocoupleType::k, measured, 0), 1195, 1);
}

TEST(Thermocouple, WhatATypeCanNotGiveIsNothing) {
    EXPECT_FALSE(celsius_from_millivolts(ThermocoupleType::k, 60));
    EXPECT_FALSE(celsius_from_millivolts(ThermocoupleType::s, -1));
    EXPECT_FALSE(celsius_from_millivolts(ThermocoupleType::b, -0.003));
    EXPECT_FALSE(celsius_from_millivolts(ThermocoupleType::k, std::nan("")));
    EXPECT_FALSE(thermocouple_type("X"));
    EXPECT_FALSE(thermocouple_type("KN"));
    EXPECT_EQ(thermocouple_type("s"), ThermocoupleType::s);
}

} // namespace
} // namespace fettle
