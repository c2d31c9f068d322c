#include "compiler/judging/judging_data.h"

#include "compiler/compiler.h"

#include <gtest/gtest.h>
#include <set>

namespace fettle {
namespace {

JudgingData data() {
    auto read = read_judging_data(StandardLibrary::text("data/cone_readings.csv"),
                                  StandardLibrary::text("data/defect_causes.csv"));
    EXPECT_TRUE(std::holds_alternative<JudgingData>(read)) << std::get<std::string>(read);
    return std::get<JudgingData>(std::move(read));
}

TEST(JudgingData, LooksOfConesRiseWithoutAHole) {
    const JudgingData judging = data();
    ASSERT_EQ(judging.looks.size(), 4u);
    for (std::size_t i = 0; i < judging.looks.size(); ++i) {
        const ConeLookWork& row = judging.looks[i];
        EXPECT_EQ(row.look, static_cast<ConeLook>(i));
        EXPECT_LE(row.least, row.typical);
        EXPECT_LT(row.typical, row.most);
        if (i > 0) {
            EXPECT_LE(row.least, judging.looks[i - 1].most);
        }
    }
}

TEST(JudgingData, EveryCauseHasItsReasonRemedyAndSource) {
    const JudgingData judging = data();
    for (const CauseRow& row : judging.causes) {
        EXPECT_FALSE(row.cause.empty());
        EXPECT_FALSE(row.reason.empty()) << row.cause;
        EXPECT_FALSE(row.remedy.empty()) << row.cause;
        EXPECT_FALSE(row.source.empty()) << row.cause;
    }
    std::set<std::string_view> defects;
    for (const std::string_view defect : defects_of(judging.causes))
        defects.insert(defect);
    for (const char* wanted : {"black core", "bloat", "dunt", "pinholes", "crazing", "sticking",
                               "underfired", "overfired"})
        EXPECT_TRUE(defects.contains(wanted)) << wanted;
}

TEST(JudgingData, SpoiltTablesAreToldWithTheirLine) {
    const std::string_view good = StandardLibrary::text("data/cone_readings.csv");
    const auto problem = [&](std::string_view looks, std::string_view causes) {
        const auto read = read_judging_data(looks, causes);
        return std::holds_alternative<std::string>(read) ? std::get<std::string>(read) : "";
    };
    EXPECT_NE(problem("look,also,least_work,typical_work,most_work,source\nleaning,,0,0,0,x\n", "")
                  .find("line 2"),
              std::string::npos);
    EXPECT_NE(problem(good, "defect,cause,prior,measure,sense,threshold,weight,reason,remedy,"
                            "source\nbloat,x,much,m,least,1,1,r,r,s\n")
                  .find("`much` in the column `prior` is no number"),
              std::string::npos);
}

TEST(Witnesses, AreReadAsTheyAreSaid) {
    const JudgingData judging = data();
    const auto read =
        parse_witnesses("the middle shelf: cone 5 flat, cone 6 touching; bottom: 06 down", judging);
    ASSERT_TRUE(std::holds_alternative<std::vector<WitnessReading>>(read));
    const auto& readings = std::get<std::vector<WitnessReading>>(read);
    ASSERT_EQ(readings.size(), 3u);
    EXPECT_EQ(readings[1].shelf, "middle");
    EXPECT_EQ(readings[1].cone, 6);
    EXPECT_EQ(readings[1].look, ConeLook::touching);
    EXPECT_EQ(readings[2].shelf, "bottom");
    EXPECT_EQ(readings[2].cone, -6);
    EXPECT_EQ(readings[2].look, ConeLook::touching);
    EXPECT_EQ(witnesses_text(readings),
              "middle: cone 5 flat, cone 6 touching, bottom: cone 06 touching");
}

TEST(Witnesses, WhatIsWrongIsSaid) {
    const JudgingData judging = data();
    const auto said = [&](std::string_view text) {
        const auto read = parse_witnesses(text, judging);
        return std::holds_alternative<std::string>(read) ? std::get<std::string>(read) : "";
    };
    EXPECT_NE(said("cone 6 toching").find("did you mean `touching`?"), std::string::npos);
    EXPECT_NE(said("cone 21 flat").find("names no cone"), std::string::npos);
    EXPECT_NE(said("cone 6").find("how does cone 6 look"), std::string::npos);
    EXPECT_NE(said("").find("no cone is named"), std::string::npos);
    EXPECT_NE(said("cone 6 flat, cone 6 bending").find("name the shelves"), std::string::npos);
}

} // namespace
} // namespace fettle
