#include "compiler/source/edits.h"

#include <gtest/gtest.h>

namespace fettle {
namespace {

std::optional<std::string> mended(std::string_view text, const std::vector<Edit>& edits) {
    return apply_edits(text, 0, edits);
}

TEST(ApplyEdits, ReplacesInsertsAndRemoves) {
    EXPECT_EQ(mended("600C + 20C", {{{0, 7, 10}, "20dC"}}), "600C + 20dC");
    EXPECT_EQ(mended("ab", {{{0, 1, 1}, "-"}}), "a-b");
    EXPECT_EQ(mended("abc", {{{0, 1, 2}, ""}}), "ac");
    EXPECT_EQ(mended("abc", std::vector<Edit>()), "abc");
    EXPECT_EQ(mended("", {{{0, 0, 0}, "x"}}), "x");
}

TEST(ApplyEdits, AnyOrderAndTouchingPlaces) {
    EXPECT_EQ(mended("abcd", {{{0, 2, 4}, "Y"}, {{0, 0, 2}, "X"}, {{0, 2, 2}, "-"}}), "X-Y");
    EXPECT_EQ(mended("ab", {{{0, 1, 1}, "1"}, {{0, 1, 1}, "2"}}), "a12b");
}

TEST(ApplyEdits, OnlyThoseOfTheFile) {
    EXPECT_EQ(mended("abc", {{{1, 0, 3}, "x"}, {{0, 0, 1}, "A"}}), "Abc");
}

TEST(ApplyEdits, RefusesOverlapAndPlacesOutside) {
    EXPECT_FALSE(mended("abcd", {{{0, 0, 2}, "x"}, {{0, 1, 3}, "y"}}));
    EXPECT_FALSE(mended("abcd", {{{0, 3, 5}, "x"}}));
    EXPECT_FALSE(mended("abcd", {{{0, 3, 2}, "x"}}));
}

Diagnostic with_mend(std::vector<Edit> edits) {
    Diagnostic one;
    one.mends.push_back({"words only", {}});
    one.mends.push_back({"the mend", std::move(edits)});
    return one;
}

TEST(CompatibleEdits, FirstMendWithEditsOfEach) {
    const Diagnostic all[] = {with_mend({{{0, 0, 1}, "A"}}), with_mend({{{0, 2, 3}, "C"}})};
    EXPECT_EQ(mended("abc", compatible_edits(all)), "AbC");
}

TEST(CompatibleEdits, LaterOverlapsAreLeftWhole) {
    const Diagnostic all[] = {with_mend({{{0, 0, 2}, "X"}}),
                              with_mend({{{0, 1, 3}, "Y"}, {{0, 4, 5}, "Z"}}),
                              with_mend({{{1, 0, 2}, "other file"}})};
    const std::vector<Edit> edits = compatible_edits(all);
    ASSERT_EQ(edits.size(), 2U);
    EXPECT_EQ(mended("abcde", edits), "Xcde");
}

TEST(CompatibleEdits, TheSameInsertionOnce) {
    const Diagnostic all[] = {with_mend({{{0, 1, 1}, ")"}}), with_mend({{{0, 1, 1}, ")"}})};
    EXPECT_EQ(mended("(", compatible_edits(all)), "()");
}

std::string without(const std::string& text, const std::string& part, std::string_view word = "") {
    const SourceFile file("a.fettle", text);
    const auto begin = static_cast<std::uint32_t>(text.find(part));
    const Span span{0, begin, begin + static_cast<std::uint32_t>(part.size())};
    const auto line = line_with_only(file, span, word);
    if (!line)
        return "(no)";
    return text.substr(0, line->begin) + text.substr(line->end);
}

TEST(Edits, a_line_is_taken_out_when_nothing_else_is_on_it) {
    EXPECT_EQ(without("a\n  allow x because y\nb\n", "allow x because y"), "a\nb\n");
    EXPECT_EQ(without("a\r\n  allow x # why\r\nb\r\n", "allow x"), "a\r\nb\r\n");
    EXPECT_EQ(without("allow x", "allow x"), "");
    EXPECT_EQ(without("let a; allow x\n", "allow x"), "(no)");
    EXPECT_EQ(without("allow x; let a\n", "allow x"), "(no)");
    EXPECT_EQ(without("use a.b\nuse c\n", "a.b", "use"), "use c\n");
    EXPECT_EQ(without("use a.b as c\n", "a.b", "use"), "(no)");
    EXPECT_EQ(without("allow x because\n    y\n", "x because\n    y", "allow"), "(no)");
}

std::string without_entry(const std::string& text, const std::string& entry) {
    const SourceFile file("a.fettle", text);
    const auto begin = static_cast<std::uint32_t>(text.find(entry));
    const auto part =
        entry_and_comma(file, {0, begin, begin + static_cast<std::uint32_t>(entry.size())});
    if (!part)
        return "(no)";
    return text.substr(0, part->begin) + text.substr(part->end);
}

TEST(Edits, an_entry_goes_with_its_comma) {
    EXPECT_EQ(without_entry("use a (one, two)", "one"), "use a (two)");
    EXPECT_EQ(without_entry("use a (one, two)", "two"), "use a (one)");
    EXPECT_EQ(without_entry("use a (one, two, six)", "two"), "use a (one, six)");
    EXPECT_EQ(without_entry("use a (one)", "one"), "(no)");
}

} // namespace
} // namespace fettle
