// A table of cones that can't be right gives no scale, and a sentence that says where to look.
#include "compiler/ceramics/ceramics.h"
#include "compiler/ceramics/cone_words.h"

#include <gtest/gtest.h>

namespace fettle {
namespace {

std::string spoilt(const std::string& rows) {
    const std::string head = "cone,rate_c_per_h,end_c,source,confidence\n";
    const std::string large = head + rows, high = head + "35,150,1785,s,c\n";
    const Ceramics ceramics(large, high);
    EXPECT_EQ(ceramics.shelf_cones().cones.empty(), !ceramics.spoilt_by().empty());
    return ceramics.spoilt_by();
}

TEST(ConeWords, GoodTable) {
    EXPECT_EQ(spoilt("5,60,1186,s,c\n5,150,1203,s,c\n6,60,1222,s,c\n6,150,1243,s,c\n"), "");
}

TEST(ConeWords, WhatSpoilsATable) {
    EXPECT_EQ(spoilt("5,60,1186,s,c\n6,60,1180,s,c\n"),
              "cone 6 ends at 1180C at 60C/h, no hotter than cone 5, which is before it: 1186C");
    EXPECT_EQ(spoilt("6,60,1222,s,c\n6,150,1210,s,c\n"),
              "cone 6 ends at 1210C at 150C/h, no hotter than in a slower climb, 1222C");
    EXPECT_EQ(spoilt("6,60,1222,s,c\n6,60,1222,s,c\n"), "cone 6 stands there twice at 60C/h");
    EXPECT_EQ(spoilt("6,60,12220,s,c\n").substr(0, 39), "cone 6 ends at 12220C at 60C/h, which c");
    EXPECT_EQ(spoilt("6,60,hot,s,c\n"), "line 2: `hot` is no number");
    EXPECT_EQ(spoilt("5,60,1186,s,c\nsix,60,1222,s,c\n"), "line 3: `six` is no cone");
    EXPECT_EQ(spoilt("6,60\n"), "line 2: this row has fewer fields than the first line names");
    EXPECT_EQ(spoilt("6,60,1222,\"s,c\n"), "line 2: a quote is never closed");
}

TEST(ConeWords, WhatTheKeeperShouldKnow) {
    const auto read = read_cone_table("cone,rate_c_per_h,end_c,source,confidence\n"
                                      "4,60,1162,s,c\n6,60,1222,s,c\n7,,1240,s,c\n",
                                      ConeKind::large);
    ASSERT_TRUE(std::holds_alternative<ConeTable>(read));
    std::string all;
    for (const ConeTableProblem& problem : check_cone_table(std::get<ConeTable>(read)))
        all += describe(problem) + "\n";
    EXPECT_EQ(all, "cone 5 is missing below cone 6\n"
                   "cone 7 ends at 1240C, but at which rate is not said\n"
                   "cone 7 has no figure at 60C/h, as most cones have\n");
}

} // namespace
} // namespace fettle
