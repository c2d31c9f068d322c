// CSV, read back by Python's csv module.
#include "compiler/output/csv.h"

#include "tests/output/golden.h"
#include "tests/output/python.h"
#include "tests/output/sample.h"

#include <cmath>
#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

namespace fettle {
namespace {

using Row = std::map<std::string, std::string>;

// The rows by the names of the header, as the foreign reader sees them.
std::vector<Row> read_back(const std::string& text) {
    Folder folder;
    const std::string csv_path = folder.write("rows.csv", text);
    EXPECT_EQ(run_python("read_csv.py", {csv_path, folder.path() + "/rows.json"}), 0);
    const auto lists = nlohmann::json::parse(folder.read("rows.json"))
                           .get<std::vector<std::vector<std::string>>>();
    std::vector<Row> rows;
    for (std::size_t i = 1; i < lists.size(); ++i) {
        Row& row = rows.emplace_back();
        for (std::size_t c = 0; c < lists[0].size(); ++c) {
            row[lists[0][c]] = lists[i][c];
        }
    }
    return rows;
}

TEST(Csv, Golden) {
    expect_golden("bisque.csv", csv(sample::bisque()->document));
    expect_golden("reduction_glaze_f.csv",
                  csv(sample::reduction_glaze()->document, Scale::fahrenheit));
}

TEST(Csv, AForeignReaderSeesEverySegment) {
    const auto firing = sample::bisque();
    const auto rows = read_back(csv(firing->document));
    const auto& segments = firing->schedule.segments;
    ASSERT_EQ(rows.size(), segments.size());
    for (std::size_t i = 0; i < rows.size(); ++i) {
        Row row = rows[i];
        EXPECT_EQ(row["segment"], std::to_string(i + 1));
        EXPECT_EQ(row["phase"], firing->schedule.phases[segments[i].phase].name);
        EXPECT_EQ(row["phase_title"], firing->schedule.phases[segments[i].phase].title);
        EXPECT_NEAR(std::stod(row["target_c"]), segments[i].to_c, 5e-4);
        EXPECT_NEAR(std::stod(row["from_c"]), segments[i].from_c, 5e-4);
        if (segments[i].duration_s) {
            EXPECT_NEAR(std::stod(row["duration_min"]) * 60, *segments[i].duration_s, 0.03);
        } else {
            EXPECT_EQ(row["duration_min"], "");
        }
        EXPECT_EQ(row["to_cone"], segments[i].to_cone.empty() ? "" : "cone 04");
    }
    EXPECT_EQ(Row(rows[0])["vent"], "open");
    EXPECT_EQ(Row(rows[2])["rate_c_per_h"], "100");
    EXPECT_EQ(Row(rows[7])["jobs"], "Open only below 100C; unload below 50C.");
    EXPECT_EQ(Row(rows[7])["lines"], "harbour_row/mugs.fettle:19; harbour_row/mugs.fettle:4");
}

TEST(Csv, Fahrenheit) {
    auto rows = read_back(csv(sample::reduction_glaze()->document, Scale::fahrenheit));
    EXPECT_EQ(rows[0]["target_f"], "248");
    EXPECT_EQ(rows[0]["rate_f_per_h"], "90");
    EXPECT_EQ(rows[1]["waiting_within_f"], "9") << "a difference, so without the 32";
    EXPECT_EQ(rows[0].count("target_c"), 0u);
    EXPECT_EQ(rows[6]["duration_min"], "");
    EXPECT_EQ(rows[6]["estimated_min"], "36");
    EXPECT_EQ(rows[7]["start_min"], "") << "nobody knows when the drop ends";
    EXPECT_EQ(rows[3]["settings"], "damper half; gas 30mbar");
}

TEST(Csv, OddTextsComeBackSafe) {
    auto rows = read_back(csv(sample::odd_texts()->document));
    ASSERT_EQ(rows.size(), 2u);
    EXPECT_EQ(rows[0]["notes"], "'=cmd(); semi;colon, comma; line\nbreak");
    EXPECT_EQ(rows[0]["settings"], "damper =HYPERLINK(\"x\")");
    EXPECT_EQ(rows[0]["phase"], "שלב");
    EXPECT_EQ(rows[1]["phase_title"], std::string(500, 'y'));
    EXPECT_EQ(rows[1]["jobs"], "<U+001B>]0;owned<U+0007> turn the dial");
}

TEST(Csv, NoSegments) {
    EXPECT_EQ(read_back(csv(sample::empty()->document)).size(), 0u);
}

TEST(Csv, ConesReachedWhereTheyAreKnown) {
    auto firing = sample::bisque();
    firing->document.cones_after = {"", "", "", "", "011", "04", "04", "04"};
    auto rows = read_back(csv(firing->document));
    EXPECT_EQ(rows[0]["cone_reached"], "");
    EXPECT_EQ(rows[4]["cone_reached"], "cone 011") << "not 11, to a spreadsheet";
}

TEST(Csv, WhatIsNoNumberIsEmpty) {
    auto firing = sample::bisque();
    firing->schedule.segments[0].duration_s = std::nan("");
    const std::string text = csv(firing->document);
    EXPECT_EQ(text.find("nan"), std::string::npos);
    EXPECT_EQ(read_back(text)[0]["duration_min"], "");
}

TEST(Csv, TenThousandSegments) {
    EXPECT_EQ(read_back(csv(sample::many_segments(10000)->document)).size(), 10000u);
}

} // namespace
} // namespace fettle
