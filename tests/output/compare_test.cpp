#include "compiler/output/compare.h"

#include "compiler/output/pair_up.h"
#include "compiler/source/characters.h"
#include "tests/output/golden.h"
#include "tests/output/sample.h"

#include <gtest/gtest.h>

#include <sstream>

namespace fettle {
namespace {

std::vector<std::string> lines_of(const std::string& text) {
    std::vector<std::string> lines;
    std::istringstream stream(text);
    for (std::string line; std::getline(stream, line);)
        lines.push_back(line);
    return lines;
}

// The first line that has the part; "" where none has.
std::string line_with(const std::string& text, std::string_view part) {
    for (const std::string& line : lines_of(text)) {
        if (line.find(part) != std::string::npos)
            return line;
    }
    return {};
}

// The bisque, hotter by 20 degrees, quicker below red heat, with a soak that the other one lacks.
sample::FiringPtr other_bisque() {
    auto firing = sample::bisque();
    firing->document.name = "bowls";
    auto& segments = firing->schedule.segments;
    for (Segment& segment : segments) {
        if (segment.from_c == 90 && segment.to_c == 600)
            segment.duration_s = *segment.duration_s / 2;
        if (segment.from_c == 1052.7)
            segment.from_c += 20;
        if (segment.to_c == 1052.7)
            segment.to_c += 20;
    }
    Segment soak = segments[1];
    soak.from_c = soak.to_c = 900;
    soak.phase = segments[4].phase;
    segments.insert(segments.begin() + 5, soak);
    return firing;
}

TEST(Compare, TwoFirings) {
    const auto mugs = sample::bisque(), bowls = other_bisque();
    const std::string text =
        compare_firings(mugs->document, bowls->document, {.curve_height = 9, .plain = true});
    expect_golden("two_firings.compare.txt", text);
    EXPECT_EQ(line_with(text, "drying").front(), ' ') << "as long in both";
    EXPECT_EQ(line_with(text, "1h10m").front(), ' ') << "the same step";
    EXPECT_EQ(line_with(text, "burnout").front(), '*');
    EXPECT_NE(text.find("bowls peaks 20C hotter"), std::string::npos);
    // 510C at 100C/h are 5h6m, of which half is gone; the further soak is an hour.
    EXPECT_NE(text.find("bowls takes 1h33m less time"), std::string::npos);
    // At the end of the quick climb: 600C, when the other one is half way between 90C and 600C.
    EXPECT_NE(text.find("255C"), std::string::npos);
}

TEST(Compare, TheSameTwice) {
    const auto firing = sample::reduction_glaze();
    const std::string text = compare_firings(firing->document, firing->document);
    EXPECT_NE(text.find("The two are the same."), std::string::npos);
    EXPECT_NE(text.find("Both take the same time"), std::string::npos);
    EXPECT_NE(text.find("long_tables, second"), std::string::npos) << "told apart";
    for (const std::string& line : lines_of(text))
        EXPECT_FALSE(line.starts_with("* ")) << line;
}

TEST(Compare, FitsAnyWidthAndPlainIsAscii) {
    const auto a = sample::reduction_glaze(), b = sample::many_segments(300);
    const auto odd = sample::odd_texts();
    for (const std::size_t width : {60, 71, 72, 80, 133}) {
        for (const auto* other : {&b->document, &odd->document}) {
            const std::string text =
                compare_firings(a->document, *other, {.width = width, .start_clock_s = 3600});
            for (const std::string& line : lines_of(text)) {
                std::string seen = line;
                for (std::string_view mark : {"\u2067", "\u2069"}) { // take no room
                    for (std::size_t at; (at = seen.find(mark)) != std::string::npos;)
                        seen.erase(at, mark.size());
                }
                EXPECT_LE(display_width(seen), width) << line;
            }
        }
    }
    for (const char c : compare_firings(a->document, b->document, {.plain = true}))
        EXPECT_TRUE(c == '\n' || (c >= ' ' && c <= '~'));
}

TEST(Compare, NoSteps) {
    const auto nothing = sample::empty(), something = sample::bisque();
    EXPECT_NE(compare_firings(nothing->document, something->document).find("not here"),
              std::string::npos);
    EXPECT_FALSE(compare_firings(nothing->document, nothing->document).empty());
}

TEST(Compare, TwoControllers) {
    const auto by_time = sample::with_steps(StepForm::duration_target);
    const auto by_rate = sample::with_steps(StepForm::rate_or_soak);
    by_rate->document.controller = {"annex_pad", "The annex kiln's pad"};
    const std::string text = compare_controllers(by_time->document, by_rate->document);
    EXPECT_NE(text.find("on two controllers"), std::string::npos);
    EXPECT_NE(line_with(text, "each step").find("a time and a temperature"), std::string::npos);
    EXPECT_NE(line_with(text, "each step").find("a climb, or a soak"), std::string::npos);
    // 70 degrees at 60C/h are 1h10m, and 90C are 194F; the same step in both forms, in one line.
    const std::string first = line_with(text, "194F");
    EXPECT_NE(first.find("1h10m"), std::string::npos) << text;
    EXPECT_NE(first.find("60F/h"), std::string::npos) << text;
}

// --- what belongs together ---

std::string paired(std::string_view a, std::string_view b) {
    std::string text;
    for (const Paired& pair : pair_up(a.size(), b.size(), [&](std::size_t i, std::size_t j) {
             return a[i] == b[j] ? 1 : 0;
         })) {
        text += pair.a ? a[*pair.a] : '-';
        text += pair.b ? b[*pair.b] : '-';
        text += ' ';
    }
    return text;
}

TEST(PairUp, KeepsOrderAndPairsAsManyAsCanBe) {
    EXPECT_EQ(paired("abc", "abc"), "aa bb cc ");
    EXPECT_EQ(paired("abc", "ac"), "aa b- cc ");
    EXPECT_EQ(paired("ac", "abc"), "aa -b cc ");
    EXPECT_EQ(paired("", "ab"), "-a -b ");
    EXPECT_EQ(paired("xabc", "abcy"), "x- aa bb cc -y ");
    EXPECT_EQ(paired("ab", "ba").size(), 9u) << "one pair and two alone";
}

TEST(PairUp, LongListsByTheirPlace) {
    const std::string many(20'000, 'a');
    const auto pairs = pair_up(many.size(), many.size(), [&](std::size_t i, std::size_t j) {
        return i != 7 && many[i] == many[j] ? 1 : 0;
    });
    EXPECT_EQ(pairs.size(), many.size() + 1);
}

} // namespace
} // namespace fettle
