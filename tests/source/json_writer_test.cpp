#include "compiler/source/json_writer.h"

#include <gtest/gtest.h>
#include <limits>
#include <nlohmann/json.hpp>
#include <random>

namespace fettle {
namespace {

template <class Write> std::string written(Write write, JsonLayout layout = JsonLayout::compact) {
    std::string out;
    JsonWriter json(out, layout);
    write(json);
    json.finish();
    return out;
}

std::string number(double value, int decimals) {
    return written([&](JsonWriter& json) { json.number(value, decimals); });
}

void sample(JsonWriter& json) {
    json.object();
    json.field("name", "mugs");
    json.field("known", true);
    json.field("nothing", nullptr);
    json.field("delay_s", std::optional<int>());
    json.field("count", std::optional<int>(3));
    json.key("empty");
    json.array();
    json.end_array();
    json.key("segments");
    json.array();
    for (int index = 1; index <= 2; ++index) {
        json.line_object();
        json.field("index", index);
        json.key("from");
        json.array();
        json.value("a");
        json.value("b");
        json.end_array();
        json.key("none");
        json.object();
        json.end_object();
        json.end_object();
    }
    json.end_array();
    json.end_object();
}

TEST(JsonWriter, CompactLayout) {
    EXPECT_EQ(written(sample), R"({"name":"mugs","known":true,"nothing":null,"delay_s":null,)"
                               R"("count":3,"empty":[],"segments":[{"index":1,"from":["a","b"],)"
                               R"("none":{}},{"index":2,"from":["a","b"],"none":{}}]})");
}

TEST(JsonWriter, IndentedLayoutKeepsLineObjectsOnOneLine) {
    EXPECT_EQ(written(sample, JsonLayout::indented), R"({
  "name": "mugs",
  "known": true,
  "nothing": null,
  "delay_s": null,
  "count": 3,
  "empty": [],
  "segments": [
    {"index": 1, "from": ["a", "b"], "none": {}},
    {"index": 2, "from": ["a", "b"], "none": {}}
  ]
})");
}

TEST(JsonWriter, BothLayoutsMeanTheSame) {
    EXPECT_EQ(nlohmann::json::parse(written(sample)),
              nlohmann::json::parse(written(sample, JsonLayout::indented)));
}

TEST(JsonWriter, AppendsToWhatIsThere) {
    std::string out = "[1]\n";
    JsonWriter json(out);
    json.array();
    json.value(2);
    json.value(3);
    json.end_array();
    json.finish();
    EXPECT_EQ(out, "[1]\n[2,3]");
    out += '!';
    EXPECT_EQ(out, "[1]\n[2,3]!");
}

TEST(JsonWriter, FixedNumbers) {
    EXPECT_EQ(number(600, 1), "600");
    EXPECT_EQ(number(600.5, 1), "600.5");
    EXPECT_EQ(number(1222.2500001, 2), "1222.25");
    EXPECT_EQ(number(0.05, 2), "0.05");
    EXPECT_EQ(number(2.005, 1), "2");
    EXPECT_EQ(number(0.25, 1), "0.3");
    EXPECT_EQ(number(-0.25, 1), "-0.3");
    EXPECT_EQ(number(-0.01, 1), "0");
    EXPECT_EQ(number(-0.0, 3), "0");
    EXPECT_EQ(number(9.9999, 3), "10");
    EXPECT_EQ(number(123456789.123456789, 9), "123456789.12345679");
    EXPECT_EQ(number(-5, 0), "-5");
    EXPECT_EQ(number(1e300, 2), "1e+300");
}

TEST(JsonWriter, NoNumberIsNull) {
    EXPECT_EQ(number(std::numeric_limits<double>::quiet_NaN(), 1), "null");
    EXPECT_EQ(number(std::numeric_limits<double>::infinity(), 1), "null");
    EXPECT_EQ(written([](JsonWriter& json) { json.value(-HUGE_VAL); }), "null");
}

TEST(JsonWriter, ShortestNumbersReadBackExactly) {
    std::mt19937_64 random(573);
    for (int i = 0; i < 20000; ++i) {
        const std::uint64_t bits = random();
        double value = 0;
        std::memcpy(&value, &bits, sizeof value);
        if (!std::isfinite(value)) {
            continue;
        }
        const std::string text = written([&](JsonWriter& json) { json.value(value); });
        ASSERT_EQ(nlohmann::json::parse(text).get<double>(), value) << text;
    }
}

TEST(JsonWriter, FixedNumbersAgreeWithAnotherPrinter) {
    std::mt19937_64 random(1222);
    std::uniform_real_distribution<double> temperatures(-50, 1400);
    for (int i = 0; i < 20000; ++i) {
        const double value = temperatures(random);
        char expected[64];
        std::snprintf(expected, sizeof expected, "%.3f", value);
        ASSERT_EQ(std::stod(number(value, 3)), std::stod(expected)) << value;
    }
}

TEST(JsonWriter, Integers) {
    EXPECT_EQ(
        written([](JsonWriter& json) { json.value(std::numeric_limits<std::int64_t>::min()); }),
        "-9223372036854775808");
    EXPECT_EQ(
        written([](JsonWriter& json) { json.value(std::numeric_limits<std::uint64_t>::max()); }),
        "18446744073709551615");
}

TEST(JsonWriter, EscapesWhatMustBeEscaped) {
    EXPECT_EQ(written([](JsonWriter& json) { json.text("say \"hot\"\\\n\r\t\b\f\x01\x1f"); }),
              R"("say \"hot\"\\\n\r\t\b\f\u0001\u001f")");
    EXPECT_EQ(written([](JsonWriter& json) { json.text(""); }), R"("")");
    EXPECT_EQ(written([](JsonWriter& json) {
                  json.text("600\xC2\xB0"
                            "C \xF0\x9F\x8F\xBA");
              }),
              "\"600\xC2\xB0"
              "C \xF0\x9F\x8F\xBA\"");
}

TEST(JsonWriter, BadUtf8BecomesReplacements) {
    EXPECT_EQ(written([](JsonWriter& json) { json.text("a\xFFz\xC3"); }),
              "\"a\xEF\xBF\xBDz\xEF\xBF\xBD\"");
    EXPECT_EQ(written([](JsonWriter& json) { json.text("\xED\xA0\x80"); }), // a lone surrogate
              "\"\xEF\xBF\xBD\xEF\xBF\xBD\xEF\xBF\xBD\"");
}

// Each byte at each place in a text, so that the eight-at-a-time path meets all of them.
TEST(JsonWriter, EveryAsciiByteAtEveryPlaceReadsBack) {
    for (std::size_t place = 0; place < 20; ++place) {
        for (int byte = 0; byte < 128; ++byte) {
            std::string text(20, 'x');
            text[place] = static_cast<char>(byte);
            const std::string json = written([&](JsonWriter& writer) { writer.text(text); });
            ASSERT_EQ(nlohmann::json::parse(json).get<std::string>(), text) << json;
        }
    }
}

TEST(JsonWriter, RandomBytesGiveJson) {
    std::mt19937 random(1926);
    for (int i = 0; i < 3000; ++i) {
        std::string text(random() % 40, ' ');
        for (char& byte : text) {
            byte = static_cast<char>(random());
        }
        const std::string json = written([&](JsonWriter& writer) {
            writer.object();
            writer.key_of(text);
            writer.text(text);
            writer.end_object();
        });
        ASSERT_TRUE(nlohmann::json::accept(json)) << json; // the reader refuses bad UTF-8
    }
}

TEST(JsonWriter, LongTextsGrowTheBuffer) {
    const std::string text(100000, '\n');
    const std::string json = written([&](JsonWriter& writer) { writer.text(text); });
    EXPECT_EQ(nlohmann::json::parse(json).get<std::string>(), text);
}

} // namespace
} // namespace fettle
