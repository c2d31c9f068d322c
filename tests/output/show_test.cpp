#include "compiler/output/show.h"

#include "compiler/output/columns.h"
#include "compiler/source/characters.h"
#include "tests/output/golden.h"
#include "tests/output/sample.h"

#include <cmath>
#include <gtest/gtest.h>

namespace fettle {
namespace {

std::vector<std::string> lines_of(const std::string& text) {
    std::vector<std::string> lines(1);
    for (char c : text) {
        if (c == '\n') {
            lines.emplace_back();
        } else {
            lines.back() += c;
        }
    }
    lines.pop_back();
    return lines;
}

// Columns that a terminal needs, without the marks for right-to-left text, which need none.
std::size_t columns(std::string line) {
    for (std::string_view mark : {"\u2067", "\u2069"}) {
        for (std::size_t at; (at = line.find(mark)) != std::string::npos;) {
            line.erase(at, mark.size());
        }
    }
    return display_width(line);
}

void expect_fits(const std::string& text, std::size_t width) {
    for (const std::string& line : lines_of(text)) {
        EXPECT_LE(columns(line), width) << line;
    }
}

TEST(Show, Bisque) {
    expect_golden("bisque.show.txt", show(sample::bisque()->document));
}

TEST(Show, BisquePlainInFahrenheit) {
    const std::string text =
        show(sample::bisque()->document, {.scale = Scale::fahrenheit, .width = 60, .plain = true});
    expect_golden("bisque_plain_f.show.txt", text);
    expect_fits(text, 60);
    for (char c : text) {
        EXPECT_TRUE(c == '\n' || (c >= ' ' && c <= '~'));
    }
}

TEST(Show, ReductionGlaze) {
    const std::string text = show(sample::reduction_glaze()->document);
    expect_golden("reduction_glaze.show.txt", text);
    expect_fits(text, 80);
}

TEST(Show, WhyWithClockAndBraille) {
    const std::string text = show(sample::reduction_glaze()->document,
                                  {.braille = true, .why = true, .start_clock_s = 22 * 3600});
    expect_golden("reduction_glaze_why.show.txt", text);
    expect_fits(text, 80);
}

TEST(Show, ClockCountsTheDelay) {
    // Started at 22:00, eight hours of delay: the first step at 06:00 of the next day.
    const std::string text = show(sample::bisque()->document, {.start_clock_s = 22 * 3600});
    EXPECT_NE(text.find("+0:00  06:00  day 2"), std::string::npos) << text;
    EXPECT_EQ(text.find("ends "), std::string::npos) << "nobody knows when it has cooled";
}

TEST(Show, ColourOnlyAdds) {
    const auto firing = sample::reduction_glaze();
    const std::string without = show(firing->document);
    std::string with = show(firing->document, {.colour = true});
    EXPECT_EQ(without.find('\x1b'), std::string::npos);
    EXPECT_NE(with.find("\x1b[1m"), std::string::npos);
    for (std::size_t at; (at = with.find('\x1b')) != std::string::npos;) {
        with.erase(at, with.find('m', at) - at + 1);
    }
    EXPECT_EQ(with, without);
}

TEST(Show, NoSteps) {
    const std::string text = show(sample::empty()->document);
    expect_golden("empty.show.txt", text);
    EXPECT_NE(text.find("no steps"), std::string::npos);
}

TEST(Show, OddTextsDoNoHarm) {
    const auto firing = sample::odd_texts();
    for (bool plain : {false, true}) {
        const std::string text = show(firing->document, {.plain = plain, .why = true});
        expect_fits(text, 80);
        for (std::string_view rest = text; !rest.empty();) {
            const Character character = first_character(rest);
            ASSERT_TRUE(character.valid);
            const bool isolate = character.code == 0x2067 || character.code == 0x2069;
            EXPECT_TRUE(character.code == '\n' || isolate || !is_unsafe(character.code))
                << std::hex << static_cast<unsigned>(character.code);
            rest.remove_prefix(character.length);
        }
    }
    expect_golden("odd_texts.show.txt", show(firing->document));
}

TEST(Show, FitsAnyWidth) {
    for (std::size_t width : {60, 61, 67, 72, 80, 100, 133, 200}) {
        expect_fits(show(sample::reduction_glaze()->document,
                         {.width = width, .why = true, .start_clock_s = 0}),
                    width);
        expect_fits(show(sample::odd_texts()->document, {.width = width, .why = true}), width);
        expect_fits(show(sample::many_segments(500)->document, {.width = width}), width);
    }
    EXPECT_EQ(show(sample::bisque()->document, {.width = 0}),
              show(sample::bisque()->document, {.width = 60}));
}

TEST(Show, NeverPrintsWhatIsNoNumber) {
    auto firing = sample::reduction_glaze();
    firing->document.heat_work.fraction_to_next = std::nullopt;
    for (Segment& segment : firing->schedule.segments) {
        segment.estimated_duration_s.reset();
    }
    for (double clock : {0.0, 86399.0}) {
        const std::string text = show(firing->document, {.start_clock_s = clock});
        EXPECT_EQ(text.find("nan"), std::string::npos);
        EXPECT_EQ(text.find("inf"), std::string::npos);
        EXPECT_EQ(text.find('~'), std::string::npos) << "nothing is estimated any more";
        EXPECT_NE(text.find("? the kiln's own time"), std::string::npos);
    }
}

TEST(Show, OnlyTimesOfTheKilnsOwn) {
    auto firing = sample::empty();
    firing->phase("flat_out");
    firing->own_time(SegmentKind::full, 1000);
    firing->own_time(SegmentKind::opened, 600);
    const std::string text = show(firing->document);
    expect_fits(text, 80);
    EXPECT_NE(text.find("climb        1000C  full     ?"), std::string::npos) << text;
    EXPECT_NE(text.find("not known: a climb at full speed"), std::string::npos) << text;
}

TEST(Show, TenThousandSegments) {
    const auto firing = sample::many_segments(10000);
    const std::string text = show(firing->document);
    expect_fits(text, 80);
    EXPECT_NE(text.find("\n10000  "), std::string::npos);
}

TEST(Columns, WrapKeepsEveryWord) {
    EXPECT_EQ(wrapped("one two  three", 7), (std::vector<std::string>{"one two", "three"}));
    EXPECT_EQ(wrapped("", 7), (std::vector<std::string>{""}));
    EXPECT_EQ(wrapped("abcdefghij", 4), (std::vector<std::string>{"abcd", "efgh", "ij"}));
    EXPECT_EQ(wrapped("a abcdefghij", 4), (std::vector<std::string>{"a", "abcd", "efgh", "ij"}));
    // Two columns for each of these.
    EXPECT_EQ(wrapped("陶芸家", 4), (std::vector<std::string>{"陶芸", "家"}));
}

TEST(Columns, AnEndlessWordTakesNoEndlessTime) {
    const auto lines = wrapped(std::string(600'000, 'x'), 60);
    EXPECT_EQ(lines.size(), 10000u);
    EXPECT_EQ(lines.back().size(), 60u);
    EXPECT_EQ(wrapped(std::string(2000, 'x') + " end", 60).back(), std::string(20, 'x') + " end");
}

TEST(Columns, RightToLeftIsIsolated) {
    EXPECT_EQ(isolated("plain"), "plain");
    EXPECT_EQ(isolated("a שלב b"), "a \u2067שלב\u2069 b");
    EXPECT_EQ(isolated("שלב 2: שלב"), "\u2067שלב 2: שלב\u2069");
    EXPECT_EQ(isolated("שלב to שלב"), "\u2067שלב\u2069 to \u2067שלב\u2069");
}

} // namespace
} // namespace fettle
