#include "tests/units/reading.h"

#include "compiler/units/unit_table.h"

#include <gtest/gtest.h>

#include <cmath>
#include <string>

namespace fettle {
namespace {

using Kind = LiteralProblem::Kind;

TEST(Literal, EveryFormOfTheReference) {
    struct Row {
        std::string_view literal;
        double base;
        Dimension dimension;
    };
    const Row rows[] = {
        {"600C", 600, dimension::temperature},
        {"600°C", 600, dimension::temperature},
        {"1112F", 600, dimension::temperature},
        {"873K", 599.85, dimension::temperature},
        {"-5C", -5, dimension::temperature},
        {"20dC", 20, dimension::difference},
        {"36dF", 20, dimension::difference},
        {"20dK", 20, dimension::difference},
        {"-5dC", -5, dimension::difference},
        {"100C/h", 100.0 / 3600, dimension::rate},
        {"2C/min", 2.0 / 60, dimension::rate},
        {"180F/h", 100.0 / 3600, dimension::rate},
        {"100°C/h", 100.0 / 3600, dimension::rate},
        {"90s", 90, dimension::duration},
        {"20m", 1200, dimension::duration},
        {"20min", 1200, dimension::duration},
        {"2h", 7200, dimension::duration},
        {"1d", 86400, dimension::duration},
        {"1h30m", 5400, dimension::duration},
        {"1h30m20s", 5420, dimension::duration},
        {"2d4h", 187200, dimension::duration},
        {"1h05m", 3900, dimension::duration},
        {"1h2.5min", 3750, dimension::duration},
        {"-1h30m", -5400, dimension::duration},
        {"8mm", 0.008, dimension::length},
        {"2.5cm", 0.025, dimension::length},
        {"0.3in", 0.00762, dimension::length},
        {"1600metre", 1600, dimension::length},
        {"5280ft", 1609.344, dimension::length},
        {"35kg", 35, dimension::mass},
        {"10lb", 4.5359237, dimension::mass},
        {"180L", 0.18, dimension::volume},
        {"7ft3", 0.198217926144, dimension::volume},
        {"9kW", 9000, dimension::power},
        {"60kWh", 2.16e8, dimension::energy},
        {"5MJ", 5e6, dimension::energy},
        {"0.31/kWh", 0.31 / 3.6e6, dimension::price},
        {"1.2%", 0.012, dimension::fraction},
        {"35ppm", 35e-6, dimension::fraction},
        {"12", 12, dimension::number},
        {"12.5", 12.5, dimension::number},
        {"-3", -3, dimension::number},
        {"2600kg/metre3", 2600, dimension::density},
        {"2.6g/cm3", 2600, dimension::density},
        {"1.1W/metre/K", 1.1, dimension::conductivity},
        {"2260kJ/kg", 2.26e6, dimension::heat_per_mass},
        {"1050J/kg/K", 1050, dimension::specific_heat},
        {"6.5ppm/K", 6.5e-6, dimension::expansion},
        {"0.0000065/K", 6.5e-6, dimension::expansion},
        {"2.5W/K", 2.5, dimension::heat_loss},
        {"85kJ/K", 85000, dimension::heat_capacity},
        {"60MPa", 6e7, dimension::pressure},
        {"70GPa", 7e10, dimension::pressure},
        {"37mbar", 3700, dimension::pressure},
        {"40A", 40, dimension::current},
    };
    for (const Row& row : rows) {
        const Quantity read = quantity(row.literal);
        EXPECT_DOUBLE_EQ(read.value, row.base) << row.literal;
        EXPECT_EQ(read.dimension, row.dimension) << row.literal;
    }
}

// The same amount in two units is the same number, to the last bit.
TEST(Literal, ConversionsAreExact) {
    EXPECT_EQ(value("1112F"), 600.0);
    EXPECT_EQ(value("212F"), 100.0);
    EXPECT_EQ(value("32F"), 0.0);
    EXPECT_EQ(value("-40F"), value("-40C"));
    EXPECT_EQ(value("-459.67F"), value("-273.15C"));
    EXPECT_EQ(value("0K"), value("-273.15C"));
    EXPECT_EQ(value("873.15K"), 600.0);
    EXPECT_EQ(value("873K"), 599.85);
    EXPECT_EQ(value("180dF"), 100.0);
    EXPECT_EQ(value("180F/h"), value("100C/h"));
    EXPECT_EQ(value("1.8F/min"), value("1C/min"));
    EXPECT_EQ(value("60C/h"), value("1C/min"));
    EXPECT_EQ(value("1in"), value("25.4mm"));
    EXPECT_EQ(value("0.3in"), value("7.62mm"));
    EXPECT_EQ(value("1ft"), value("12in"));
    EXPECT_EQ(value("1ft3"), value("28.316846592L"));
    EXPECT_EQ(value("1lb"), value("453.59237g"));
    EXPECT_EQ(value("16oz"), value("1lb"));
    EXPECT_EQ(value("1kWh"), value("3.6MJ"));
    EXPECT_EQ(value("1bar"), value("100kPa"));
    EXPECT_EQ(value("0.1mm"), value("0.01cm"));
    EXPECT_EQ(value("1BTU/lb/F"), value("4186.8J/kg/K"));
    EXPECT_EQ(value("1.2%"), 0.012);
    EXPECT_EQ(value("0.1"), 0.1);
    EXPECT_EQ(value("123456789.123456789"), 123456789.123456789);
}

// A point of 100 C is 212 F, a difference of 100 C is 180 F: never one for the other.
TEST(Literal, PointsAndDifferencesAreNotTheSame) {
    EXPECT_EQ(value("212F"), value("100C"));
    EXPECT_EQ(value("180dF"), value("100dC"));
    EXPECT_NE(quantity("100C").dimension, quantity("100dC").dimension);
    EXPECT_EQ(value("10dK"), value("10dC"));
    EXPECT_EQ(quantity("5C/h").dimension, dimension::rate);
}

TEST(Literal, LettersOfUnitsAreNotCaseBlind) {
    EXPECT_EQ(quantity("5m").dimension, dimension::duration);
    EXPECT_EQ(quantity("5mm").dimension, dimension::length);
    EXPECT_EQ(quantity("5min").dimension, dimension::duration);
    EXPECT_EQ(quantity("5metre").dimension, dimension::length);
    EXPECT_EQ(quantity("5MPa").value, 5e6);
    EXPECT_EQ(quantity("5in").dimension, dimension::length);
}

// Spellings that differ are kept apart for printing; other spellings of one unit are not.
TEST(Literal, RemembersTheUnitItWasWrittenIn) {
    EXPECT_EQ(quantity("20m").unit, unit_named("m"));
    EXPECT_EQ(quantity("20min").unit, unit_named("min"));
    EXPECT_EQ(quantity("600°C").unit, unit_named("C"));
    EXPECT_EQ(quantity("5mL").unit, unit_named("ml"));
    EXPECT_EQ(quantity("12").unit, 0);
    EXPECT_EQ(quantity("1h30m").unit, parts_of_hours);
    EXPECT_EQ(quantity("2d4h").unit, parts_of_days);
}

// Compound units that the table lacks are read part by part.
TEST(Literal, OtherCompoundUnits) {
    const Quantity soak = quantity("2kg/metre2");
    EXPECT_EQ(soak.value, 2);
    EXPECT_EQ(soak.dimension, (Dimension{.length = -2, .mass = 1}));
    EXPECT_EQ(soak.unit, 0);
    EXPECT_DOUBLE_EQ(value("36kg/metre/h"), 0.01);
    EXPECT_EQ(value("7200C/h/h"), 7200.0 / 3600 / 3600);
    // inside a compound, degrees are differences
    EXPECT_EQ(quantity("9W/F").dimension, dimension::heat_loss);
    EXPECT_DOUBLE_EQ(value("9W/F"), 16.2);
    EXPECT_EQ(quantity("5mm/metre").dimension, dimension::number);
    EXPECT_EQ(quantity("5%/K").dimension, dimension::expansion);
}

TEST(Literal, RefusesTemperaturesBelowAbsoluteZero) {
    for (const std::string_view literal : {"-273.16C", "-300C", "-459.68F", "-1K", "-0.001K"}) {
        EXPECT_EQ(refused(literal).kind, Kind::below_absolute_zero) << literal;
        EXPECT_EQ(refused(literal).end, literal.size());
    }
    EXPECT_EQ(value("-273.15C"), -273.15);
    EXPECT_EQ(value("-300F"), (-300.0 - 32) * 5 / 9);
    EXPECT_EQ(value("-300dC"), -300); // a difference may be that large
}

TEST(Literal, RefusesWhatIsTooLarge) {
    const std::string nines(400, '9');
    EXPECT_EQ(refused(nines).kind, Kind::too_large);
    EXPECT_EQ(refused(nines + "C").kind, Kind::too_large);
    EXPECT_EQ(refused(std::string(308, '9') + "GPa").kind, Kind::too_large);
    EXPECT_EQ(value("0." + std::string(400, '0') + "1"), 0);
    EXPECT_EQ(refused("1" + std::string(200, 'x')).kind, Kind::unknown_unit);
}

TEST(Literal, RefusesTornNumbersAndMendsThem) {
    EXPECT_EQ(mended("12,5C"), "12.5C");
    EXPECT_EQ(mended("1,25C"), "1.25C");
    EXPECT_EQ(mended("007C"), "7C");
    EXPECT_EQ(mended(".5mm"), "0.5mm");
    EXPECT_EQ(mended("5.C"), "5C");
    EXPECT_EQ(mended("\u22125C"), "-5C");
    EXPECT_EQ(mended("\u20135dC"), "-5dC");
    // thousands or thousandths: nobody can tell, so nothing is suggested
    EXPECT_EQ(mended("1,250C"), "");
    EXPECT_EQ(mended("1.2.3"), "");
    EXPECT_EQ(mended("1_000C"), "");
    for (const std::string_view literal :
         {"", "-", "C", "1.2.3", "--5C", ",5", "12,5C", "1h30.", "00", "."}) {
        EXPECT_EQ(refused(literal).kind, Kind::not_a_number) << literal;
    }
}

TEST(Literal, RefusesPartsThatCannotBeAdded) {
    for (const std::string_view literal :
         {"1h30C", "30m1h", "1h1h", "1m30m", "5ft3in", "600C30m", "5kg2h", "100C/h30m"}) {
        EXPECT_EQ(refused(literal).kind, Kind::several_units) << literal;
    }
    EXPECT_EQ(refused("1h30C").begin, 2u);
    EXPECT_EQ(refused("1h30C").end, 5u);
    EXPECT_EQ(mended("1h30"), "1h30m");
    EXPECT_EQ(mended("2d4"), "2d4h");
    EXPECT_EQ(mended("1m30"), "1m30s");
    EXPECT_EQ(mended("1s30"), "");
}

TEST(Literal, SuggestsTheUnitThatWasMeant) {
    const std::pair<std::string_view, std::string_view> slips[] = {
        {"9KW", "9kW"},
        {"9kw", "9kW"},
        {"600c", "600C"},
        {"1112f", "1112F"},
        {"2hr", "2h"},
        {"2hrs", "2h"},
        {"2hours", "2h"},
        {"20mins", "20min"},
        {"20minutes", "20min"},
        {"90sec", "90s"},
        {"600deg", "600C"},
        {"600degC", "600C"},
        {"1112degF", "1112F"},
        {"600º", "600C"},
        {"600ºC", "600C"},
        {"600°", "600C"},
        {"600℃", "600C"},
        {"1112℉", "1112F"},
        {"60kwh", "60kWh"},
        {"60KWH", "60kWh"},
        {"5mj", "5MJ"},
        {"8MM", "8mm"},
        {"180l", "180L"},
        {"180litres", "180L"},
        {"1600meter", "1600metre"},
        {"10lbs", "10lb"},
        {"3days", "3d"},
        {"100C/hr", "100C/h"},
        {"100c/h", "100C/h"},
        {"100ºC/h", "100C/h"},
        {"2C/m", "2C/min"},
        {"1.1W/m/K", "1.1W/metre/K"},
        {"2600kg/m3", "2600kg/metre3"},
        {"2600kg/m³", "2600kg/metre3"},
        {"0.31/KWh", "0.31/kWh"},
        {"1hr30m", "1h30m"},
        {"1h30mins", "1h30min"},
        {"1h30mn", "1h30min"},
        {"1200W/m2", "1200W/metre2"},
        {"10W/m2/K", "10W/metre2/K"},
        {"1metr", "1metre"},
        {"30m/mm", "30min/mm"},
        {"5percent", "5%"},
        {"7cuft", "7ft3"},
        {"1.05kj/kg/K", "1.05kJ/kg/K"},
    };
    for (const auto& [wrong, right] : slips) {
        EXPECT_EQ(refused(wrong).kind, Kind::unknown_unit) << wrong;
        EXPECT_EQ(mended(wrong), right) << wrong;
        quantity(right); // and that is one
    }
}

TEST(Literal, SaysNothingWhereNothingIsNear) {
    for (const std::string_view literal : {"5x", "5furlongs", "5/h", "5/", "5kg/", "5€", "600C/"}) {
        EXPECT_EQ(refused(literal).kind, Kind::unknown_unit) << literal;
        EXPECT_EQ(mended(literal), "") << literal;
    }
}

// Any bytes give an answer whose offsets lie in the literal.
TEST(Literal, AnyBytesGetAnAnswer) {
    const std::string_view alphabet = "0159.-,/°CFKhmsd%kWgL \xff\xc2½";
    std::uint32_t state = 1;
    const auto next = [&state](std::size_t below) {
        state = state * 1664525u + 1013904223u;
        return (state >> 8) % below;
    };
    for (int i = 0; i < 200000; ++i) {
        std::string literal;
        const std::size_t length = next(12);
        for (std::size_t k = 0; k < length; ++k) {
            literal += alphabet[next(alphabet.size())];
        }
        const auto result = parse_quantity(literal);
        if (const auto* problem = std::get_if<LiteralProblem>(&result)) {
            ASSERT_LE(problem->begin, problem->end) << literal;
            ASSERT_LE(problem->end, literal.size()) << literal;
        } else {
            ASSERT_TRUE(std::isfinite(std::get<Quantity>(result).value)) << literal;
        }
    }
}

// Long input takes time in proportion to its length at most.
TEST(Literal, LongInputIsNoTrap) {
    std::string percent = "1";
    for (int i = 0; i < 300000; ++i) {
        percent += "%/";
    }
    std::string torn = percent;
    for (int i = 0; i < 300000; ++i) {
        torn += "x5";
    }
    EXPECT_EQ(refused(percent).kind, Kind::unknown_unit);
    EXPECT_EQ(refused(torn).kind, Kind::unknown_unit);
    EXPECT_EQ(refused("1" + std::string(1000000, 'h')).kind, Kind::unknown_unit);
    EXPECT_EQ(refused("1" + std::string(1000000, '/')).kind, Kind::unknown_unit);
    EXPECT_EQ(mended(std::string(1000000, '0') + "C"), "0C");
    EXPECT_EQ(refused(std::string(1000000, '1') + "C").kind, Kind::too_large);
}

TEST(Clock, ReadsTimesOfDay) {
    EXPECT_EQ(parse_clock("22:30"), 81000);
    EXPECT_EQ(parse_clock("00:00"), 0);
    EXPECT_EQ(parse_clock("7:05"), 25500);
    EXPECT_EQ(parse_clock("07:05"), 25500);
    EXPECT_EQ(parse_clock("23:59"), 86340);
    for (const std::string_view wrong : {"24:00", "12:60", "12", "12:5", "123:00", ":30", "1a:00",
                                         "12:3x", "", "12:300", "::::"}) {
        EXPECT_FALSE(parse_clock(wrong)) << wrong;
    }
}

} // namespace
} // namespace fettle
