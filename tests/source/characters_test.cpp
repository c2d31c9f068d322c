#include "compiler/source/characters.h"

#include <gtest/gtest.h>

namespace fettle {
namespace {

TEST(Characters, DecodesAndEncodesTheSame) {
    for (char32_t code = 0; code <= 0x10FFFF; ++code) {
        if (code >= 0xD800 && code <= 0xDFFF) {
            continue;
        }
        std::string bytes;
        append_character(bytes, code);
        const Character character = first_character(bytes);
        ASSERT_TRUE(character.valid) << static_cast<std::uint32_t>(code);
        ASSERT_EQ(character.code, code);
        ASSERT_EQ(character.length, bytes.size());
    }
}

// From the table of well-formed sequences (table 3-7 of the Unicode Standard) what lies outside.
TEST(Characters, RefusesWhatIsNotUtf8) {
    for (const std::string_view bad :
         {"\x80", "\xBF", "\xC0\x80", "\xC1\xBF", "\xC3", "\xC3(", "\xE0\x9F\xBF", "\xED\xA0\x80",
          "\xE2\x82", "\xF0\x8F\xBF\xBF", "\xF4\x90\x80\x80", "\xF5\x80\x80\x80", "\xFF"}) {
        const Character character = first_character(bad);
        EXPECT_FALSE(character.valid) << visible(bad);
        EXPECT_EQ(character.length, 1) << visible(bad);
    }
}

TEST(Characters, Widths) {
    EXPECT_EQ(display_width("kiln"), 4U);
    EXPECT_EQ(display_width("600\xC2\xB0"
                            "C"),
              5U);
    EXPECT_EQ(display_width("\xE6\x97\xA5\xE6\x9C\xAC"), 4U);             // two wide letters
    EXPECT_EQ(display_width("e\xCC\x81"), 1U);                            // e and a combining acute
    EXPECT_EQ(display_width("\xF0\x9F\x8F\xBA"), 2U);                     // an amphora
    EXPECT_EQ(display_width("\xED\x95\x9C"), 2U);                         // a Hangul syllable
    EXPECT_EQ(display_width("\xE1\x84\x92\xE1\x85\xA1\xE1\x86\xAB"), 2U); // the same in three parts
    EXPECT_EQ(display_width(""), 0U);
}

TEST(Characters, UnsafeOnesAreMadeVisible) {
    EXPECT_EQ(visible("a\x1b[2Jb"), "a<U+001B>[2Jb");
    EXPECT_EQ(visible("a\rb\x7f"), "a<U+000D>b<U+007F>");
    EXPECT_EQ(visible("\xC2\x9B"), "<U+009B>");     // an escape sequence in one character
    EXPECT_EQ(visible("\xE2\x80\xAE"), "<U+202E>"); // turns the direction of text
    EXPECT_EQ(visible("\xEF\xBB\xBF"), "<U+FEFF>");
    EXPECT_EQ(visible("\xFF\xC3"), "<0xFF><0xC3>");
    EXPECT_EQ(visible("a\tb\nc"), "a b\nc");
    EXPECT_EQ(visible("gl\xC3\xBChen \xE6\x97\xA5"), "gl\xC3\xBChen \xE6\x97\xA5");
}

TEST(Characters, WidthIsThatOfTheVisibleText) {
    for (const std::string_view text : {"a\x1b[2Jb", "\xFF", "\xE2\x80\xAE!", "a\tb"}) {
        EXPECT_EQ(display_width(text), display_width(visible(text))) << visible(text);
    }
}

TEST(Characters, Utf16Units) {
    const std::string_view text = "a\xC3\xA9\xF0\x9F\x8F\xBAz";
    EXPECT_EQ(utf16_length(text), 5U);
    EXPECT_EQ(utf16_offset(text, 0), 0U);
    EXPECT_EQ(utf16_offset(text, 1), 1U);
    EXPECT_EQ(utf16_offset(text, 2), 3U);
    EXPECT_EQ(utf16_offset(text, 4), 7U);
    EXPECT_EQ(utf16_offset(text, 99), 8U);
}

} // namespace
} // namespace fettle
