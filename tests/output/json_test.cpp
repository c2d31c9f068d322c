// The JSON document: read back by a parser that is not ours, validated against its schema by a
// validator that is not ours, and compared with what somebody found good.
#include "compiler/output/json.h"

#include "compiler/output/json_text.h"
#include "tests/output/golden.h"
#include "tests/output/python.h"
#include "tests/output/sample.h"

#include <cmath>
#include <gtest/gtest.h>
#include <limits>
#include <nlohmann/json.hpp>
#include <random>

namespace fettle {
namespace {

using Json = nlohmann::ordered_json;

std::vector<std::string> keys(const Json& object) {
    std::vector<std::string> names;
    for (const auto& [key, value] : object.items()) {
        names.push_back(key);
    }
    return names;
}

using Names = std::vector<std::string>;

TEST(Json, FieldsInTheOrderOfTheContract) {
    const Json document = Json::parse(json(sample::reduction_glaze()->document));
    EXPECT_EQ(keys(document),
              (Names{"format", "format_version", "compiler", "source", "firing", "start",
                     "segments", "totals", "heat_work", "checks", "accept", "cautions"}));
    EXPECT_EQ(keys(document["source"]), (Names{"library", "version", "files"}));
    EXPECT_EQ(keys(document["firing"]),
              (Names{"name", "title", "about", "arguments", "body", "glaze", "kiln", "controller",
                     "load", "confirm", "phases"}));
    EXPECT_EQ(keys(document["firing"]["load"][0]),
              (Names{"name", "body", "glaze", "thickness_mm", "moisture", "mass_kg", "shelf"}));
    EXPECT_EQ(keys(document["start"]), (Names{"temperature_c", "delay_s"}));
    EXPECT_EQ(keys(document["segments"][0]),
              (Names{"index", "phase", "starts_s", "to_cone", "kind", "from_c", "to_c",
                     "duration_s", "rate_c_per_h", "waiting_within_c", "atmosphere", "vent",
                     "settings", "notes", "jobs", "from"}));
    EXPECT_EQ(keys(document["totals"]), (Names{"duration_s", "free_cooling_s", "peak_c", "steps"}));
    EXPECT_EQ(keys(document["heat_work"]), (Names{"cone", "next_cone", "fraction_to_next"}));
    EXPECT_EQ(keys(document["checks"][0]),
              (Names{"rule", "level", "result", "group", "found", "allowed", "unit", "reason",
                     "waiver", "segments"}));
    EXPECT_EQ(keys(document["accept"][0]),
              (Names{"kind", "value", "tolerance", "unit", "cone", "shelf"}));
}

TEST(Json, StepsOnlyWithAController) {
    const Json document = Json::parse(json(sample::with_steps(StepForm::rate_or_soak)->document));
    EXPECT_EQ(keys(document)[7], "steps");
    const Json& steps = document["steps"];
    EXPECT_EQ(keys(steps), (Names{"form", "scale", "time_step_s", "programs"}));
    EXPECT_EQ(keys(steps["programs"][0]),
              (Names{"name", "start_c", "rows", "then", "deviation_c"}));
    const Json& rows = steps["programs"][0]["rows"];
    EXPECT_EQ(keys(rows[0]), (Names{"step", "target", "rate_per_h", "kind", "segments",
                                    "waiting_within", "phase"}));
    EXPECT_EQ(keys(rows[1]),
              (Names{"step", "target", "soak_min", "kind", "segments", "waiting_within", "phase"}));
    EXPECT_EQ(rows[0]["target"], 194) << "in the controller's own scale";
    EXPECT_EQ(document["totals"]["steps"], 8);
    EXPECT_EQ(Json::parse(json(sample::bisque()->document))["totals"]["steps"], nullptr);
}

TEST(Json, ValuesOfABisque) {
    const Json document = Json::parse(json(sample::bisque()->document));
    EXPECT_EQ(document["format"], "fettle.schedule");
    EXPECT_EQ(document["format_version"], 1);
    EXPECT_EQ(document["firing"]["arguments"]["thickness"], "6mm");
    EXPECT_EQ(document["firing"]["glaze"], nullptr);
    EXPECT_EQ(document["firing"]["load"][0]["name"], nullptr);
    EXPECT_EQ(document["firing"]["load"][0]["moisture"], 0.01);
    EXPECT_EQ(document["start"]["delay_s"], 28800);
    const Json& segments = document["segments"];
    ASSERT_EQ(segments.size(), 8u);
    EXPECT_EQ(segments[2]["starts_s"], 4200 + 3600);
    EXPECT_EQ(segments[2]["duration_s"], 5.1 * 3600);
    EXPECT_EQ(segments[2]["rate_c_per_h"], 100);
    EXPECT_EQ(segments[1]["rate_c_per_h"], 0);
    EXPECT_EQ(segments[5]["to_cone"], "04");
    EXPECT_EQ(segments[5]["to_c"], 1052.7);
    EXPECT_EQ(segments[7]["kind"], "free");
    EXPECT_EQ(segments[7]["duration_s"], nullptr);
    EXPECT_EQ(segments[7]["rate_c_per_h"], nullptr);
    EXPECT_EQ(segments[0]["from"][1]["line"], 4);
    EXPECT_EQ(document["totals"]["free_cooling_s"], nullptr);
    EXPECT_EQ(document["totals"]["peak_c"], 1052.7);
}

TEST(Json, WhatComesAfterTheKilnsOwnTimeHasNoStart) {
    const Json segments = Json::parse(json(sample::reduction_glaze()->document))["segments"];
    EXPECT_TRUE(segments[6]["starts_s"].is_number());
    EXPECT_EQ(segments[7]["starts_s"], nullptr);
    EXPECT_EQ(segments[8]["starts_s"], nullptr);
}

TEST(Json, Golden) {
    expect_golden("bisque.json", json(sample::bisque()->document));
    expect_golden("bisque_compact.json", json(sample::bisque()->document, JsonLayout::compact));
    expect_golden("reduction_glaze.json", json(sample::reduction_glaze()->document));
    expect_golden("steps.json", json(sample::with_steps(StepForm::duration_target)->document));
}

TEST(Json, IndentedIsTheSameDocument) {
    for (const auto& firing :
         {sample::empty(), sample::bisque(), sample::reduction_glaze(), sample::odd_texts(),
          sample::with_steps(StepForm::rate_target_soak), sample::many_segments(100)}) {
        const std::string compact = json(firing->document, JsonLayout::compact);
        const std::string indented = json(firing->document, JsonLayout::indented);
        EXPECT_EQ(Json::parse(compact), Json::parse(indented));
        EXPECT_EQ(Json::parse(indented).dump() + "\n", Json::parse(compact).dump() + "\n");
        EXPECT_EQ(std::count(compact.begin(), compact.end(), '\n'), 1);
    }
}

TEST(Json, AppendingKeepsWhatWasThere) {
    const auto firing = sample::bisque();
    std::string text = "before\n";
    append_json(text, firing->document, JsonLayout::compact);
    append_json(text, firing->document, JsonLayout::compact);
    const std::string one = json(firing->document, JsonLayout::compact);
    EXPECT_EQ(text, "before\n" + one + one);
}

TEST(Json, NeverWritesWhatIsNoNumber) {
    auto firing = sample::bisque();
    const double nan = std::nan(""), infinity = std::numeric_limits<double>::infinity();
    firing->schedule.segments[0].duration_s = nan;
    firing->schedule.segments[1].duration_s = 0; // its rate would be 0/0
    firing->schedule.segments[2].to_c = infinity;
    firing->document.heat_work.fraction_to_next = nan;
    firing->document.checks[0].found = -infinity;
    firing->document.load[0].moisture = nan;
    const std::string text = json(firing->document, JsonLayout::compact);
    const Json document = Json::parse(text);
    EXPECT_EQ(document["segments"][0]["duration_s"], nullptr);
    EXPECT_EQ(document["checks"][0]["found"], nullptr);
    EXPECT_EQ(text.find("nan"), std::string::npos);
    EXPECT_EQ(text.find(":inf"), std::string::npos);
}

TEST(Json, OddTextsComeBack) {
    const auto firing = sample::odd_texts();
    const Json document = Json::parse(json(firing->document));
    EXPECT_EQ(document["firing"]["title"].get<std::string>(), firing->document.title);
    EXPECT_EQ(document["firing"]["arguments"]["note"], "\"a\", b");
    EXPECT_EQ(document["segments"][1]["jobs"][0].get<std::string>(),
              firing->schedule.segments[1].jobs[0]);
    const auto about = document["firing"]["about"].get<std::string>();
    EXPECT_NE(about.find("bad \uFFFD bytes \uFFFD"), std::string::npos) << about;
}

TEST(Json, TenThousandSegments) {
    const Json document = Json::parse(json(sample::many_segments(10000)->document));
    ASSERT_EQ(document["segments"].size(), 10000u);
    EXPECT_EQ(document["segments"][9999]["index"], 9999);
}

// --- pieces -------------------------------------------------------------------------------------

std::string written(double value) {
    std::string text;
    JsonText(text).number(value);
    return text;
}

TEST(JsonText, Numbers) {
    EXPECT_EQ(written(0), "0");
    EXPECT_EQ(written(-0.0), "0");
    EXPECT_EQ(written(-0.0004), "0");
    EXPECT_EQ(written(20), "20");
    EXPECT_EQ(written(-150), "-150");
    EXPECT_EQ(written(0.5), "0.5");
    EXPECT_EQ(written(133.3333333), "133.333");
    EXPECT_EQ(written(1.05), "1.05");
    EXPECT_EQ(written(0.001), "0.001");
    EXPECT_EQ(written(0.9996), "1");
    EXPECT_EQ(written(4294967296), "4294967296");
    EXPECT_EQ(written(std::nan("")), "null");
    EXPECT_EQ(written(std::numeric_limits<double>::infinity()), "null");
    EXPECT_EQ(std::stod(written(1e300)), 1e300);
}

TEST(JsonText, NumbersRoundToTheThousandth) {
    std::mt19937_64 random(11);
    std::uniform_real_distribution<double> exponent(-4, 12);
    for (int i = 0; i < 100000; ++i) {
        const double value = std::pow(10, exponent(random)) * (random() % 2 == 0 ? 1 : -1);
        const double back = std::stod(written(value));
        ASSERT_NEAR(back, value, 0.0005 + std::fabs(value) * 1e-15) << written(value);
    }
}

TEST(JsonText, GeneralNumbersKeepNineDigits) {
    for (double value : {5.4e-6, 0.000123456789, -1.25, 1e12, 0.0, 80.0, 1.0 / 3}) {
        std::string text;
        JsonText(text).general(value);
        EXPECT_NEAR(std::stod(text), value, std::fabs(value) * 1e-9) << text;
        EXPECT_EQ(Json::parse(text).get<double>(), std::stod(text));
    }
}

TEST(JsonText, TextsOfAllBytesAndLengths) {
    std::mt19937 random(3);
    for (int round = 0; round < 2000; ++round) {
        std::string text;
        const std::size_t length = random() % 40;
        for (std::size_t i = 0; i < length; ++i) {
            text += static_cast<char>(random() % 128);
        }
        if (round % 2 == 0) {
            text += "é€😀";
        }
        std::string written;
        JsonText(written).text(text);
        EXPECT_EQ(Json::parse(written).get<std::string>(), text);
    }
    const std::string long_text(100000, '"');
    std::string written;
    JsonText(written).text(long_text);
    EXPECT_EQ(Json::parse(written).get<std::string>(), long_text);
}

TEST(JsonText, BadUtf8IsReplaced) {
    for (const char* bad :
         {"\xFF", "\xC3", "\xC0\x80", "\xED\xA0\x80", "\xF4\x90\x80\x80", "\x80"}) {
        std::string written;
        JsonText(written).text(bad);
        EXPECT_NO_THROW({
            EXPECT_NE(Json::parse(written).get<std::string>().find("\uFFFD"), std::string::npos);
        });
    }
}

// --- the schema ---------------------------------------------------------------------------------

TEST(Json, ValidatesAgainstItsSchema) {
    Folder folder;
    folder.write("empty.json", json(sample::empty()->document));
    folder.write("bisque.json", json(sample::bisque()->document));
    folder.write("compact.json", json(sample::bisque()->document, JsonLayout::compact));
    folder.write("glaze.json", json(sample::reduction_glaze()->document));
    folder.write("odd.json", json(sample::odd_texts()->document));
    folder.write("many.json", json(sample::many_segments(1000)->document));
    folder.write("steps_1.json", json(sample::with_steps(StepForm::duration_target)->document));
    folder.write("steps_2.json", json(sample::with_steps(StepForm::rate_target_soak)->document));
    folder.write("steps_3.json", json(sample::with_steps(StepForm::rate_or_soak)->document));
    EXPECT_EQ(run_python("validate_json.py",
                         {FETTLE_SOURCE_DIR "/docs/schedule.schema.json", folder.path()}),
              0)
        << "the validator is python3-jsonschema of Debian; its complaints are above";
}

} // namespace
} // namespace fettle
