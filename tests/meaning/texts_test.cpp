// Texts: escapes, computed parts, several lines.
#include "compiler/meaning/text_layout.h"
#include "tests/language/programs.h"

#include <gtest/gtest.h>

namespace fettle {
namespace {

std::string note_of(const std::string& text) {
    const Checked checked = check_text("let top = 1000C\nfiring mugs {\n    phase bisque {\n"
                                       "        note " +
                                       text + "\n        ramp to top at 100C/h\n    }\n}\n");
    if (checked.schedules.empty())
        return said(checked);
    return checked.schedules[0].segments[0].notes[0];
}

TEST(Texts, escapes) {
    EXPECT_EQ(note_of(R"("say \"done\"")"), "say \"done\"");
    EXPECT_EQ(note_of(R"("a\\b")"), "a\\b");
    EXPECT_EQ(note_of(R"("one\ntwo")"), "one\ntwo");
    EXPECT_EQ(note_of(R"("\{top}")"), "{top}");
}

TEST(Texts, computed_parts_print_in_the_unit_they_were_written_in) {
    EXPECT_EQ(note_of(R"("to {top}")"), "to 1000C");
    EXPECT_EQ(note_of(R"("{1832F}, {top - 900C}, {8mm}, {0.5in}, {cone 06}, {1.2%}")"),
              "1832F, 100dC, 8mm, 0.5in, cone 06, 1.2%");
    EXPECT_EQ(note_of(R"("{90m} or {1h30m} or {100C/h * 2h}")"), "90m or 1h30m or 200dC");
    EXPECT_EQ(note_of(R"("{"inner {top}"}")"), "inner 1000C");
}

TEST(Texts, several_lines_lose_what_only_lays_them_out) {
    EXPECT_EQ(note_of("\"\"\"\n            Bone dry.\n              Then in.\n            \"\"\""),
              "Bone dry.\n  Then in.");
    EXPECT_EQ(note_of("\"\"\"Bone dry.\n            Then in.\"\"\""), "Bone dry.\nThen in.");
    EXPECT_EQ(note_of("\"\"\"\n            a\n\n            b\n\"\"\""), "a\n\nb");
    EXPECT_EQ(note_of("\"\"\"\r\n            a\r\n              b\r\n            \"\"\""),
              "a\n  b");
    EXPECT_EQ(
        note_of("\"\"\"\n            {top} first\n            then {top}\n            \"\"\""),
        "1000C first\nthen 1000C");
    EXPECT_EQ(note_of("\"\"\"a \"quoted\" word\"\"\""), "a \"quoted\" word");
    EXPECT_EQ(note_of("\"\"\"\"\"\""), "");
}

TEST(Texts, layout_by_itself) {
    EXPECT_EQ(laid_out({"\n  a\n  b\n"}), std::vector<std::string>{"a\nb"});
    EXPECT_EQ(laid_out({"\n\ta\n\t\tb\n\t"}), std::vector<std::string>{"a\n\tb"});
    EXPECT_EQ(laid_out({"  a\n   b"}), std::vector<std::string>{"  a\nb"});
    EXPECT_EQ(laid_out({"  \n  a"}), std::vector<std::string>{"a"});
    EXPECT_EQ(laid_out({"   "}), std::vector<std::string>{""});
    EXPECT_TRUE(laid_out({}).empty());
    const std::vector<std::string> with_part = {"a ", "", "\n b"};
    EXPECT_EQ(laid_out({"\n  a ", std::nullopt, "\n   b\n  "}), with_part);
    // A computed part at the start of a line counts as what follows the blanks.
    const std::vector<std::string> part_first = {"", "", "\n  a"};
    EXPECT_EQ(laid_out({"\n  ", std::nullopt, "\n    a"}), part_first);
}

} // namespace
} // namespace fettle
