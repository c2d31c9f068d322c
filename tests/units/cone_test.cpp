#include "compiler/units/quantity.h"

#include <gtest/gtest.h>

#include <algorithm>

namespace fettle {
namespace {

TEST(Cone, PositionsOnTheScale) {
    EXPECT_EQ(parse_cone("06"), -6);
    EXPECT_EQ(parse_cone("6"), 6);
    EXPECT_EQ(parse_cone("022"), -22);
    EXPECT_EQ(parse_cone("010"), -10);
    EXPECT_EQ(parse_cone("10"), 10);
    EXPECT_EQ(parse_cone("01"), -1);
    EXPECT_EQ(parse_cone("1"), 1);
    EXPECT_EQ(parse_cone("42"), 42);
    EXPECT_EQ(parse_cone("5.5"), 5.5);
    EXPECT_EQ(parse_cone("5½"), 5.5);
    EXPECT_EQ(parse_cone("05½"), -5.5);
    EXPECT_EQ(parse_cone("05.5"), -5.5);
    EXPECT_EQ(parse_cone("31½"), 31.5);
    EXPECT_EQ(parse_cone("32.5"), 32.5);
}

TEST(Cone, OnlyThoseOfTheTable) {
    for (const std::string_view name :
         {"00",  "0",   "21",  "22",   "24",   "25",  "43",    "023",        "100",
          "6.5", "06½", "6½½", "5.50", "5,5",  "006", "0022",  "-6",         "6 ",
          "",    "½",   ".5",  "0½",   "cone", "6a",  "5.5.5", "99999999999"}) {
        EXPECT_FALSE(parse_cone(name)) << name;
    }
}

TEST(Cone, ColdestFirst) {
    const std::vector<double>& cones = all_cones();
    EXPECT_EQ(cones.front(), -22);
    EXPECT_EQ(cones.back(), 42);
    EXPECT_TRUE(std::is_sorted(cones.begin(), cones.end()));
    // 022 … 01, 1 … 20, 23, 26 … 42, and the four halves
    EXPECT_EQ(cones.size(), 22u + 20u + 1u + 17u + 4u);
    // 05½ lies between 06 and 05, 5½ between 5 and 6
    EXPECT_LT(*parse_cone("06"), *parse_cone("05½"));
    EXPECT_LT(*parse_cone("05½"), *parse_cone("05"));
    EXPECT_LT(*parse_cone("5"), *parse_cone("5½"));
    EXPECT_LT(*parse_cone("5½"), *parse_cone("6"));
    EXPECT_LT(*parse_cone("01"), *parse_cone("1"));
    EXPECT_LT(*parse_cone("06"), *parse_cone("6"));
}

TEST(Cone, NamesReadBack) {
    for (const double position : all_cones()) {
        EXPECT_EQ(parse_cone(cone_name(position)), position) << cone_name(position);
    }
    EXPECT_EQ(cone_name(-6), "06");
    EXPECT_EQ(cone_name(6), "6");
    EXPECT_EQ(cone_name(5.5), "5½");
    EXPECT_EQ(cone_name(-5.5), "05½");
    EXPECT_EQ(cone_name(-10), "010");
    EXPECT_EQ(cone_name(0), "");
    EXPECT_EQ(cone_name(6.25), "");
}

} // namespace
} // namespace fettle
