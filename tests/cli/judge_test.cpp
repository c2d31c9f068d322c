// `fettle judge` as it is typed: verdicts, exit codes, and logs that are no use.
#include "tests/cli/program.h"

#include <gtest/gtest.h>
#include <nlohmann/json.hpp>
#include <string>

namespace fettle::cli_test {
namespace {

constexpr std::string_view glaze = R"(firing mugs "Mugs" {
    phase climb { ramp to 1100C at 150C/h }
    phase top {
        ramp to 1220C at 60C/h
        soak 15m
    }
    phase cooling { cool to 100C freely }
    accept {
        peak within 6C
        witness cone 6 on bottom
    }
}
)";

// The log of a kiln that does what `mugs` asks, a reading every two minutes.
std::string log_of(double share = 1, std::string_view header = "minutes,kiln_c\n",
                   std::string_view before = "") {
    std::string text(header);
    const auto add = [&](double minute, double celsius) {
        text += std::string(before) + std::to_string(static_cast<int>(minute)) + "," +
                std::to_string(20 + (celsius - 20) * share) + "\n";
    };
    for (double minute = 0; minute < 20; minute += 2)
        add(minute, 20);
    for (double minute = 0; minute < 432; minute += 2)
        add(20 + minute, 20 + 2.5 * minute);
    for (double minute = 0; minute < 120; minute += 2)
        add(452 + minute, 1100 + minute);
    for (double minute = 0; minute < 15; minute += 2)
        add(572 + minute, 1220);
    for (double minute = 0; minute < 1100; minute += 2)
        add(587 + minute, 1220 - minute);
    return text;
}

Ended judge(const Folder& folder, const std::string& log, Words more = {}) {
    folder.write("mugs.fettle", glaze);
    folder.write("log.csv", log);
    Words words = {"judge", "mugs.fettle:mugs", "log.csv"};
    words.insert(words.end(), more.begin(), more.end());
    return run(folder, words);
}

TEST(Judge, ConesThatAreDownPass) {
    const Folder folder;
    const Ended ended = judge(folder, log_of(), {"--cones", "bottom: cone 6 touching"});
    EXPECT_EQ(ended.code, 0) << ended.err;
    EXPECT_TRUE(has(ended.out, "Yes: all 2 that were specified are met."));
    EXPECT_TRUE(has(ended.out, "it was 1220C"));
    EXPECT_EQ(ended.err, "");
}

TEST(Judge, WithoutConesItCanNotBeToldAndIsNoFailure) {
    const Folder folder;
    const Ended ended = judge(folder, log_of());
    EXPECT_EQ(ended.code, 0) << ended.err;
    EXPECT_TRUE(has(ended.out, "It can't be told: 1 of 2 can't be judged"));
    EXPECT_TRUE(has(ended.out, "by the sensor alone it came to cone"));
}

TEST(Judge, AConeThatStandsFailsAndIsCorrected) {
    const Folder folder;
    const Ended ended = judge(folder, log_of(), {"--cones", "bottom: cone 6 bending"});
    EXPECT_EQ(ended.code, 1);
    EXPECT_TRUE(has(ended.out, "No: 1 of 2 is not met."));
    EXPECT_TRUE(has(ended.out, "-        ramp to 1220C at 60C/h"));
    EXPECT_TRUE(has(ended.out, "+        ramp to 12"));
    EXPECT_EQ(folder.read("mugs.fettle"), glaze);
}

TEST(Judge, ApplyWritesTheCorrection) {
    const Folder folder;
    const Ended ended = judge(folder, log_of(), {"--cones", "bottom: cone 6 bending", "--apply"});
    EXPECT_EQ(ended.code, 1);
    EXPECT_TRUE(has(ended.err, "Changed mugs.fettle"));
    EXPECT_NE(folder.read("mugs.fettle"), glaze);
    EXPECT_TRUE(lacks(folder.read("mugs.fettle"), "1220C"));
    EXPECT_EQ(run(folder, {"check", "-q", "mugs.fettle"}).code, 0);
}

TEST(Judge, JsonHoldsTheVerdictAndTheChoices) {
    const Folder folder;
    const Ended ended =
        judge(folder, log_of(), {"--as", "json", "--cones", "bottom: cone 6 bending"});
    EXPECT_EQ(ended.code, 1);
    const auto json = nlohmann::json::parse(ended.out);
    EXPECT_EQ(json["format"], "fettle.judgement");
    EXPECT_EQ(json["acceptance"]["verdict"], "fail");
    EXPECT_EQ(json["acceptance"]["items"][0]["verdict"], "pass");
    EXPECT_NEAR(json["peak_c"].get<double>(), 1220, 0.5);
    EXPECT_GT(json["next_time"]["choices"][0]["top_c"].get<double>(), 1225);
    EXPECT_EQ(json["next_time"]["edit_line"], 4);
    EXPECT_EQ(json["segments"].size(), 4u);
    EXPECT_NEAR(json["segments"][1]["real_rate_c_per_h"].get<double>(), 60, 1);
}

TEST(Judge, TheCardHasTheCurveAndTheVerdict) {
    const Folder folder;
    const Ended ended = judge(folder, log_of(), {"--as", "card", "--defects", "pinholes"});
    EXPECT_EQ(ended.code, 0);
    EXPECT_TRUE(ended.out.starts_with("<!DOCTYPE html>"));
    EXPECT_TRUE(has(ended.out, "<svg"));
    EXPECT_TRUE(has(ended.out, "Was it the firing we asked for?"));
    EXPECT_TRUE(has(ended.out, "No log proves a cause."));
}

TEST(Judge, InquestsRankAndNeverProve) {
    const Folder folder;
    const Ended ended = judge(folder, log_of(), {"--defects", "pinholes,black_core"});
    EXPECT_TRUE(has(ended.out, "What may be behind it: pinholes"));
    EXPECT_TRUE(has(ended.out, "What may be behind it: black core"));
    EXPECT_TRUE(has(ended.out, "for it: 1h20m between 700C and 900C on the way up"));
    const Ended unknown = judge(folder, log_of(), {"--defects", "pinhole"});
    EXPECT_EQ(unknown.code, 2);
    EXPECT_TRUE(has(unknown.err, "did you mean `pinholes`?"));
}

// Each is refused with a sentence that says what to do.
TEST(Judge, LogsThatAreNoUse) {
    std::string flat = "minutes,kiln_c\n", open = flat, reversed = flat;
    for (int i = 0; i < 400; ++i) {
        const std::string time = std::to_string(2 * i) + ",";
        flat += time + "21.0\n";
        open += time + "9999\n";
        reversed += time + std::to_string(20 - i / 4.0) + "\n";
    }
    struct Case {
        std::string log, said;
        Words more;
    };
    for (const Case& bad :
         std::vector<Case>{{"", "the log is empty", {}},
                           {"minutes,kiln_c\n", "the log is empty", {}},
                           {flat, "stays at 21C from beginning to end", {}},
                           {open, "a broken thermocouple reads", {}},
                           {reversed, "the wrong way round", {}},
                           {"a,b\nx,y\n", "the log is empty", {}},
                           {log_of(0.03), "say `--unit mV --thermocouple K`", {}},
                           {log_of(1, "minutes,kiln_mv\n"), "say of which thermocouple", {}},
                           {"20\n30\n40\n", "no column of times", {}},
                           {log_of(), "it has no dates", {"--since", "2026-03-07"}},
                           {"when,kiln_c\n2025-01-01 08:00,20\n2025-01-01 18:00,1220\n",
                            "older than the schedule",
                            {"--since", "2026-03-07"}}}) {
        const Folder folder;
        const Ended ended = judge(folder, bad.log, bad.more);
        EXPECT_EQ(ended.code, 1) << bad.said;
        EXPECT_TRUE(has(ended.err, bad.said));
        EXPECT_EQ(ended.out, "") << bad.said;
    }
}

TEST(Judge, ALogOfAnotherFiringIsToldAndFails) {
    const Folder folder;
    const Ended bisque = judge(folder, log_of(0.8));
    EXPECT_EQ(bisque.code, 1);
    EXPECT_TRUE(has(bisque.out, "This looks like the log of another firing"));
    const Ended unit =
        judge(folder, log_of(0.5), {"--unit", "C"}); // half the degrees: no unit fits
    EXPECT_TRUE(has(unit.out, "another firing"));
    // Degrees Fahrenheit under a header that says Celsius.
    const Ended wrong = judge(folder, log_of(1.81, "minutes,kiln_c\n0,68\n"));
    EXPECT_EQ(wrong.code, 1);
    EXPECT_TRUE(has(wrong.out, "degrees Fahrenheit"));
    EXPECT_TRUE(lacks(wrong.out, "Next time"));
}

TEST(Judge, WhatWasTypedWrongly) {
    const Folder folder;
    folder.write("mugs.fettle", class_day);
    folder.write("log.csv", log_of());
    const Ended alone = run(folder, {"judge", "mugs.fettle"});
    EXPECT_EQ(alone.code, 2);
    EXPECT_TRUE(has(alone.err, "needs a firing and its log"));
    const Ended which = run(folder, {"judge", "mugs.fettle", "log.csv"});
    EXPECT_EQ(which.code, 2);
    EXPECT_TRUE(has(which.err, "which firing is the log of?"));
    const Ended turned = run(folder, {"judge", "log.csv", "mugs.fettle"});
    EXPECT_EQ(turned.code, 2);
    EXPECT_TRUE(has(turned.err, "the log comes second"));
    const Ended lost = run(folder, {"judge", "mugs.fettle:thin", "lost.csv"});
    EXPECT_EQ(lost.code, 3);
    EXPECT_TRUE(has(lost.err, "there is no such file"));
    const Ended cones =
        run(folder, {"judge", "mugs.fettle:thin", "log.csv", "--cones", "cone 6 lying"});
    EXPECT_EQ(cones.code, 2);
    EXPECT_TRUE(has(cones.err, "standing, bending, touching or flat"));
    const Ended sensor = run(folder, {"judge", "mugs.fettle:thin", "log.csv", "--sensor", "kiln"});
    EXPECT_EQ(sensor.code, 2);
    EXPECT_TRUE(has(sensor.err, "it has: kiln_c"));
}

TEST(Record, ABookIsBegunAddedToAndShown) {
    const Folder folder;
    folder.write("mugs.fettle", glaze);
    folder.write("log.csv", log_of());
    const Words add = {"record",  "loft.csv", "mugs.fettle:mugs",        "log.csv", "--meter",
                       "10234.5", "--cones",  "bottom: cone 6 touching", "--date",  "2026-03-07"};
    const Ended first = run(folder, add);
    EXPECT_EQ(first.code, 0) << first.err;
    EXPECT_TRUE(has(first.out, "Written into loft.csv"));
    EXPECT_TRUE(has(folder.read("loft.csv"), "1,2026-03-07,mugs,log.csv,9.22,1220,1.001,"));
    EXPECT_EQ(run(folder, {"record", "loft.csv", "--fitted", "elements,sensor"}).code, 0);
    EXPECT_EQ(run(folder, add).code, 0);
    EXPECT_TRUE(has(folder.read("loft.csv"), "elements sensor"));
    const Ended shown = run(folder, {"record", "loft.csv"});
    EXPECT_EQ(shown.code, 0) << shown.err;
    EXPECT_TRUE(
        has(shown.out, "elements, since firing 2: the last climb goes at 100% of the speed"));
    EXPECT_TRUE(has(shown.out, "Too few firings for a trend"));
}

TEST(Record, RefusesWhatIsNoBookAndLogsOfAnotherFiring) {
    const Folder folder;
    folder.write("mugs.fettle", glaze);
    folder.write("log.csv", log_of());
    folder.write("cold.csv", log_of(0.7));
    folder.write("empty.csv", "");
    const Ended none = run(folder, {"record", "loft.csv"});
    EXPECT_EQ(none.code, 3);
    EXPECT_TRUE(has(none.err, "there is no such book"));
    const Ended log = run(folder, {"record", "log.csv"});
    EXPECT_EQ(log.code, 1);
    EXPECT_TRUE(has(log.err, "this is no book of firings"));
    const Ended other = run(folder, {"record", "loft.csv", "mugs.fettle:mugs", "cold.csv"});
    EXPECT_EQ(other.code, 1);
    EXPECT_TRUE(has(other.err, "another firing"));
    const Ended empty = run(folder, {"record", "loft.csv", "mugs.fettle:mugs", "empty.csv"});
    EXPECT_EQ(empty.code, 1);
    EXPECT_TRUE(has(empty.err, "the log is empty"));
    EXPECT_FALSE(folder.has("loft.csv"));
    const Ended meter =
        run(folder, {"record", "loft.csv", "mugs.fettle:mugs", "log.csv", "--meter", "much"});
    EXPECT_EQ(meter.code, 2);
    EXPECT_EQ(run(folder, {"record", "loft.csv", "log.csv"}).code, 2);
}

} // namespace
} // namespace fettle::cli_test
