#include "compiler/units/unit_table.h"

#include "tests/units/reading.h"

#include <gtest/gtest.h>

#include <numeric>

namespace fettle {
namespace {

std::string one(std::string_view unit) {
    return "1" + std::string(unit);
}

TEST(UnitTable, EveryRowIsFoundByItsNameAndAliases) {
    for (UnitId id = 1; id <= unit_count; ++id) {
        const Unit& unit = unit_of(id);
        EXPECT_EQ(find_unit(unit.name), id);
        EXPECT_TRUE(is_unit(unit.name));
        EXPECT_EQ(quantity(one(unit.name)).unit, id) << unit.name;
        for (const std::string_view alias : unit.aliases.all()) {
            if (!alias.empty()) {
                EXPECT_EQ(find_unit(alias), id) << alias;
                EXPECT_EQ(value(one(alias)), value(one(unit.name))) << alias;
            }
        }
    }
    EXPECT_FALSE(is_unit(""));
    EXPECT_FALSE(is_unit("x"));
    EXPECT_FALSE(is_unit("W/metre/K and more of it"));
}

TEST(UnitTable, EveryRowIsDocumented) {
    for (const Unit& unit : units) {
        EXPECT_FALSE(unit.meaning.empty()) << unit.name;
        const Quantity example = quantity(unit.example);
        EXPECT_EQ(example.dimension, unit.dimension) << unit.example;
        EXPECT_EQ(print(example), unit.example);
        EXPECT_EQ(describe(unit.dimension).find("something"), std::string::npos)
            << unit.name << " has no word for what it measures";
    }
}

TEST(UnitTable, FactorsAreExactAndInLowestTerms) {
    for (const Unit& unit : units) {
        EXPECT_GT(unit.factor.num, 0) << unit.name;
        EXPECT_GT(unit.factor.den, 0) << unit.name;
        EXPECT_EQ(std::gcd(unit.factor.num, unit.factor.den), 1) << unit.name;
        EXPECT_EQ(unit.offset.num != 0, unit.dimension.point && unit.name != "C") << unit.name;
    }
    EXPECT_EQ(exact::psi, (Rational{8'896'443'230'521, 1'290'320'000}));
    EXPECT_EQ(exact::btu, (Rational{52'752'792'631, 50'000'000})); // 1055.05585262 J
    EXPECT_EQ(exact::cubic_foot, (Rational{55'306'341, 1'953'125'000}));
}

// A compound row and the same unit put together from its parts agree.
TEST(UnitTable, CompoundRowsAgreeWithTheirParts) {
    int compounds = 0;
    for (const Unit& unit : units) {
        const std::size_t slash = unit.name.find('/');
        if (slash == std::string_view::npos) {
            continue;
        }
        ++compounds;
        double factor = 1;
        Dimension dimension;
        std::size_t begin = 0;
        for (int part = 0; begin <= unit.name.size(); ++part) {
            const std::size_t end = std::min(unit.name.find('/', begin), unit.name.size());
            const std::string_view name = unit.name.substr(begin, end - begin);
            begin = end + 1;
            if (name.empty()) {
                continue; // a price
            }
            const Unit& row = unit_of(find_unit(name));
            const double size =
                static_cast<double>(row.factor.num) / static_cast<double>(row.factor.den);
            const int sign = part == 0 ? 1 : -1;
            factor = sign > 0 ? factor * size : factor / size;
            dimension.length += static_cast<std::int8_t>(sign * row.dimension.length);
            dimension.mass += static_cast<std::int8_t>(sign * row.dimension.mass);
            dimension.time += static_cast<std::int8_t>(sign * row.dimension.time);
            dimension.temperature += static_cast<std::int8_t>(sign * row.dimension.temperature);
        }
        const bool is_price = slash == 0 && unit.dimension.money == 1;
        dimension.money = is_price ? 1 : 0;
        EXPECT_EQ(unit.dimension, dimension) << unit.name;
        EXPECT_NEAR(from_unit(1, find_unit(unit.name)) / factor, 1, 1e-14) << unit.name;
    }
    EXPECT_GT(compounds, 40);
}

TEST(UnitTable, ThereAndBack) {
    for (UnitId id = 1; id <= unit_count; ++id) {
        for (const double number : {-40.0, 0.0, 1.0, 12.5, 600.0}) {
            EXPECT_NEAR(in_unit(from_unit(number, id), id), number, 1e-12 * 600)
                << unit_of(id).name;
        }
    }
    EXPECT_EQ(in_unit(600, unit_named("F")), 1112);
    EXPECT_EQ(in_unit(0.0254, unit_named("in")), 1);
}

} // namespace
} // namespace fettle
