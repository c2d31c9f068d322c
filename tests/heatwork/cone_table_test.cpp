#include "runtime/heatwork/cone_table.h"

#include "runtime/heatwork/cone_fit.h"
#include "tests/heatwork/standard_cones.h"

#include <cmath>
#include <gtest/gtest.h>

namespace fettle {
namespace {

using Kind = ConeTableProblem::Kind;

// Three invented cones at two rates; nothing is wrong with them.
ConeTable good() {
    ConeTable table;
    for (const auto& [cone, slow, fast] :
         {std::tuple{4.0, 1160.0, 1180.0}, {5.0, 1180.0, 1201.0}, {6.0, 1220.0, 1242.0}}) {
        table.rows.push_back({.cone = cone, .rate_k_per_h = 60, .end_c = slow});
        table.rows.push_back({.cone = cone, .rate_k_per_h = 150, .end_c = fast});
    }
    return table;
}

const ConeTableProblem* find(const std::vector<ConeTableProblem>& problems, Kind kind) {
    for (const auto& problem : problems)
        if (problem.kind == kind)
            return &problem;
    return nullptr;
}

TEST(ConeTable, GoodTableHasNothingWrong) {
    EXPECT_TRUE(check_cone_table(good()).empty());
}

TEST(ConeTable, Empty) {
    EXPECT_EQ(check_cone_table({}).at(0).kind, Kind::no_rows);
    EXPECT_TRUE(fit_cones({}).scale.cones.empty());
    EXPECT_EQ(fit_cones({}).problems.at(0).kind, Kind::no_rows);
}

TEST(ConeTable, Hole) {
    ConeTable table = good();
    std::erase_if(table.rows, [](const ConeRow& row) { return row.cone == 5; });
    const auto problems = check_cone_table(table);
    ASSERT_EQ(problems.size(), 1u);
    EXPECT_EQ(problems[0].kind, Kind::hole);
    EXPECT_EQ(problems[0].cone, 6);
    EXPECT_EQ(problems[0].other_cone, 5);
    EXPECT_EQ(fit_cones(table).scale.cones.size(), 2u);
    EXPECT_EQ(fit_cones(table).scale.find(5), nullptr);
}

TEST(ConeTable, GapsOfTheTradeAreNoHoles) {
    ConeTable table;
    double end = 1000;
    for (const double cone : {-1.0, 1.0, 20.0, 23.0, 26.0})
        table.rows.push_back({.cone = cone, .rate_k_per_h = 150, .end_c = end += 20});
    const auto problems = check_cone_table(table);
    EXPECT_EQ(problems.size(), 18u); // 2 to 19, but neither 0, 21, 22, 24 nor 25
    EXPECT_EQ(problems.front().other_cone, 2);
    EXPECT_EQ(problems.back().other_cone, 19);
}

TEST(ConeTable, OutOfOrderSpoilsIt) {
    ConeTable table = good();
    table.rows[3].end_c = 1245; // cone 5 at 150 K/h, above cone 6
    const auto problems = check_cone_table(table);
    ASSERT_EQ(problems.size(), 1u);
    EXPECT_EQ(problems[0].kind, Kind::out_of_order);
    EXPECT_EQ(problems[0].cone, 6);
    EXPECT_EQ(problems[0].other_cone, 5);
    EXPECT_EQ(problems[0].value, 1242);
    EXPECT_EQ(problems[0].other_value, 1245);
    EXPECT_TRUE(fit_cones(table).scale.cones.empty());
}

TEST(ConeTable, FasterMustEndHotter) {
    ConeTable table = good();
    table.rows[1].end_c = 1160;
    EXPECT_TRUE(find(check_cone_table(table), Kind::falls_with_rate));
    EXPECT_TRUE(fit_cones(table).scale.cones.empty());
}

TEST(ConeTable, Repeated) {
    ConeTable table = good();
    table.rows.push_back(table.rows[0]);
    EXPECT_TRUE(find(check_cone_table(table), Kind::repeated));
    EXPECT_TRUE(fit_cones(table).scale.cones.empty());
}

TEST(ConeTable, FahrenheitTypedForCelsius) {
    ConeTable table = good();
    table.rows[5].end_c = 2269 + 300;
    EXPECT_TRUE(find(check_cone_table(table), Kind::out_of_range));
    table = good();
    table.rows[5].rate_k_per_h = 0;
    EXPECT_TRUE(find(check_cone_table(table), Kind::out_of_range));
    EXPECT_TRUE(fit_cones(table).scale.cones.empty());
}

TEST(ConeTable, NotANumberIsOutOfRange) {
    ConeTable table = good();
    table.rows[5].end_c = std::nan("");
    EXPECT_TRUE(find(check_cone_table(table), Kind::out_of_range));
}

TEST(ConeTable, NoCone) {
    for (const double cone : {std::nan(""), 1e300, -1e300}) {
        ConeTable table = good();
        table.rows[2].cone = cone;
        EXPECT_EQ(check_cone_table(table).at(0).kind, Kind::out_of_range);
        EXPECT_TRUE(fit_cones(table).scale.cones.empty());
    }
}

TEST(ConeTable, MissingRateIsToldAndFitted) {
    ConeTable table = good();
    table.rows.pop_back();
    const auto problems = check_cone_table(table);
    ASSERT_EQ(problems.size(), 1u);
    EXPECT_EQ(problems[0].kind, Kind::missing_rate);
    EXPECT_EQ(problems[0].cone, 6);
    EXPECT_EQ(problems[0].rate_k_per_h, 150);
    const ConeFit fit = fit_cones(table);
    ASSERT_EQ(fit.scale.cones.size(), 3u);
    EXPECT_EQ(fit.scale.find(6)->slope, Slope::neighbours);
}

TEST(ConeTable, TooManyRatesOrCones) {
    ConeTable table;
    for (int i = 0; i < 7; ++i)
        table.rows.push_back({.cone = 6, .rate_k_per_h = 20.0 + i, .end_c = 1200.0 + i});
    EXPECT_TRUE(find(check_cone_table(table), Kind::too_many_rates));
    EXPECT_TRUE(fit_cones(table).scale.cones.empty());
    table.rows.clear();
    for (int i = 0; i < 97; ++i)
        table.rows.push_back({.cone = -48 + i / 2.0, .rate_k_per_h = 60, .end_c = 600.0 + i});
    EXPECT_TRUE(find(check_cone_table(table), Kind::too_many_cones));
    EXPECT_TRUE(fit_cones(table).scale.cones.empty());
}

TEST(ConeTable, StandardTables) {
    for (const auto& problem : check_cone_table(large_cones())) {
        // The chart has no figure at 15 K/h for the three coldest cones.
        EXPECT_EQ(problem.kind, Kind::missing_rate);
        EXPECT_LE(problem.cone, -20);
    }
    EXPECT_TRUE(check_cone_table(small_cones()).empty());
    for (const auto& problem : check_cone_table(high_cones()))
        EXPECT_GE(problem.cone, 37) << "cones 37 to 42 have no rate";
    EXPECT_EQ(shelf_cones().cones.size(), 64u);
}

TEST(ConeTable, HotterConesAreAddedOnly) {
    const ConeTable joined = with_hotter_cones(large_cones(), high_cones());
    int twelves = 0;
    for (const ConeRow& row : joined.rows) {
        twelves += row.cone == 12;
        if (row.cone > 14) {
            EXPECT_EQ(row.kind, ConeKind::high);
            EXPECT_NE(joined.texts[row.source].find("ASTM C24"), std::string::npos);
            EXPECT_TRUE(row.from_memory);
        }
    }
    EXPECT_EQ(twelves, 3);
}

} // namespace
} // namespace fettle
