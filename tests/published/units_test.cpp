// Every unit of the table against GNU Units (data/gnu_units.csv, which says how it was made).
#include "compiler/units/quantity.h"
#include "compiler/units/unit_table.h"

#include <gtest/gtest.h>

#include <charconv>
#include <cmath>
#include <fstream>
#include <set>
#include <sstream>
#include <string>
#include <utility>
#include <vector>

namespace fettle {
namespace {

struct Figure {
    std::string from, number, to, you_have, you_want;
    double result = 0;
};

std::vector<Figure> figures() {
    std::ifstream file(FETTLE_SOURCE_DIR "/tests/published/data/gnu_units.csv");
    EXPECT_TRUE(file.is_open());
    std::vector<Figure> rows;
    std::string line;
    bool header = true;
    while (std::getline(file, line)) {
        if (line.starts_with('#') || std::exchange(header, line.starts_with('#'))) {
            continue;
        }
        std::istringstream fields(line);
        Figure row;
        std::string result;
        for (std::string* field :
             {&row.from, &row.number, &row.to, &row.you_have, &row.you_want, &result}) {
            EXPECT_TRUE(std::getline(fields, *field, ',')) << line;
        }
        const auto [end, error] =
            std::from_chars(result.data(), result.data() + result.size(), row.result);
        EXPECT_TRUE(error == std::errc{} && end == result.data() + result.size()) << line;
        rows.push_back(row);
    }
    return rows;
}

TEST(PublishedUnits, AgreeWithGnuUnits) {
    const std::vector<Figure> rows = figures();
    ASSERT_GT(rows.size(), 300u);
    for (const Figure& row : rows) {
        const auto read = parse_quantity(row.number + row.from);
        ASSERT_TRUE(std::holds_alternative<Quantity>(read)) << row.number << row.from;
        const Quantity quantity = std::get<Quantity>(read);
        const bool base = row.to == "base";
        const UnitId to = base ? 0 : find_unit(row.to);
        ASSERT_TRUE(base || to != 0) << row.to;
        if (!base) {
            ASSERT_EQ(dimension_of(to), quantity.dimension) << row.from << " to " << row.to;
        }
        // 1e-12 of the value; of a point, of its distance from absolute zero.
        const double zero = quantity.dimension.point ? 273.15 : 0;
        EXPECT_NEAR(in_unit(quantity.value, to), row.result, 1e-12 * (std::abs(row.result) + zero))
            << row.you_have << " in " << row.you_want;
    }
}

TEST(PublishedUnits, NoUnitIsLeftOut) {
    std::set<std::string, std::less<>> checked;
    for (const Figure& row : figures()) {
        if (row.to == "base") {
            checked.insert(row.from);
        }
    }
    for (const Unit& unit : units) {
        EXPECT_TRUE(checked.contains(unit.name))
            << unit.name << " has no row: add it to gnu_units.sh and run that";
    }
    EXPECT_EQ(checked.size(), std::size(units)) << "a row for a unit that the table lacks";
}

// The pitfall of every conversion: a point of 100 C is 212 F, a difference of 100 C is 180 F.
TEST(PublishedUnits, PointsAndDifferences) {
    int points = 0;
    int differences = 0;
    for (const Figure& row : figures()) {
        if (row.number != "100" || (row.to != "F" && row.to != "dF")) {
            continue;
        }
        const Quantity quantity = std::get<Quantity>(parse_quantity(row.number + row.from));
        EXPECT_EQ(print(quantity, Scale::fahrenheit), print_number(row.result) + row.to);
        EXPECT_EQ(row.result, row.to == "F" ? 212 : 180);
        ++(row.to == "F" ? points : differences);
    }
    EXPECT_EQ(points, 1);
    EXPECT_EQ(differences, 1);
}

} // namespace
} // namespace fettle
