#include "compiler/ceramics/cone_data.h"

#include "tests/heatwork/standard_cones.h"

#include <gtest/gtest.h>

namespace fettle {
namespace {

using Kind = ConeDataProblem::Kind;

constexpr std::string_view header = "cone,rate_c_per_h,end_c,source,confidence\n";

ConeTable table(std::string_view rows, std::string_view head = header) {
    const auto read = read_cone_table(std::string(head) + std::string(rows), ConeKind::large);
    EXPECT_TRUE(std::holds_alternative<ConeTable>(read));
    return std::holds_alternative<ConeTable>(read) ? std::get<ConeTable>(read) : ConeTable{};
}

ConeDataProblem problem(std::string_view rows, std::string_view head = header) {
    const auto read = read_cone_table(std::string(head) + std::string(rows), ConeKind::large);
    EXPECT_TRUE(std::holds_alternative<ConeDataProblem>(read));
    return std::holds_alternative<ConeDataProblem>(read) ? std::get<ConeDataProblem>(read)
                                                         : ConeDataProblem{};
}

TEST(ConeData, ReadsRows) {
    const ConeTable read = table("05.5,60,1015,\"a chart, reprinted\",confirmed\r\n"
                                 "06,,998,\"a \"\"chart\"\"\",from memory; see there\r\n");
    ASSERT_EQ(read.rows.size(), 2u);
    EXPECT_EQ(read.rows[0].cone, -5.5);
    EXPECT_EQ(read.rows[0].rate_k_per_h, 60);
    EXPECT_EQ(read.rows[0].end_c, 1015);
    EXPECT_FALSE(read.rows[0].from_memory);
    EXPECT_EQ(read.texts[read.rows[0].source], "a chart, reprinted");
    EXPECT_EQ(read.texts[read.rows[0].confidence], "confirmed");
    EXPECT_EQ(read.rows[1].cone, -6);
    EXPECT_FALSE(read.rows[1].rate_k_per_h);
    EXPECT_TRUE(read.rows[1].from_memory);
    EXPECT_EQ(read.texts[read.rows[1].source], "a \"chart\"");
}

TEST(ConeData, ColumnsInAnyOrderAndNoLastNewline) {
    const ConeTable read = table("x,\"two\nlines\",1239,7,60,sure",
                                 "note,source,end_c,cone,rate_c_per_h,confidence\n");
    ASSERT_EQ(read.rows.size(), 1u);
    EXPECT_EQ(read.rows[0].cone, 7);
    EXPECT_EQ(read.rows[0].end_c, 1239);
    EXPECT_EQ(read.texts[read.rows[0].source], "two\nlines");
}

TEST(ConeData, SaysWhatIsWrong) {
    EXPECT_EQ(problem("", "cone,end_c,source,confidence\n").kind, Kind::missing_column);
    EXPECT_EQ(problem("", "cone,end_c,source,confidence\n").text, "rate_c_per_h");
    EXPECT_EQ(problem("", "").kind, Kind::missing_column);
    const ConeDataProblem cone = problem("6,60,1222,s,c\n21,60,1300,s,c\n");
    EXPECT_EQ(cone.kind, Kind::unknown_cone);
    EXPECT_EQ(cone.line, 3u);
    EXPECT_EQ(cone.text, "21");
    EXPECT_EQ(problem("6,60,hot,s,c\n").kind, Kind::bad_number);
    EXPECT_EQ(problem("6,sixty,1222,s,c\n").text, "sixty");
    EXPECT_EQ(problem("6,60,1222C,s,c\n").text, "1222C");
    EXPECT_EQ(problem("6,60,,s,c\n").kind, Kind::bad_number);
    EXPECT_EQ(problem("6,60,1222\n").kind, Kind::short_row);
    const ConeDataProblem quote = problem("6,60,1222,s,c\n7,60,1239,\"s,c\n");
    EXPECT_EQ(quote.kind, Kind::unclosed_quote);
    EXPECT_EQ(quote.line, 3u);
}

TEST(ConeData, LineNumbersCountLinesInsideQuotes) {
    const ConeDataProblem late = problem("6,60,1222,\"two\nlines\",c\n99,60,1,s,c\n");
    EXPECT_EQ(late.line, 4u);
}

TEST(ConeData, StandardTablesKeepTheirSources) {
    for (const ConeTable& read : {large_cones(), small_cones(), high_cones()}) {
        EXPECT_FALSE(read.rows.empty());
        for (const ConeRow& row : read.rows) {
            EXPECT_FALSE(read.texts[row.source].empty());
            EXPECT_FALSE(read.texts[row.confidence].empty());
        }
    }
    for (const ConeRow& row : high_cones().rows)
        EXPECT_TRUE(row.from_memory);
}

TEST(ConeData, FormsSold) {
    const ConeTable large = large_cones(), small = small_cones(), high = high_cones();
    const auto forms = [&](double cone) { return sold_as(cone, large, small, high); };
    EXPECT_TRUE(forms(6).large && forms(6).small && !forms(6).high);
    EXPECT_TRUE(forms(-5.5).large && !forms(-5.5).small);
    EXPECT_TRUE(forms(14).large && !forms(14).small && forms(14).high);
    EXPECT_TRUE(!forms(31.5).large && forms(31.5).high);
    EXPECT_FALSE(forms(21).large || forms(21).small || forms(21).high);
}

} // namespace
} // namespace fettle
