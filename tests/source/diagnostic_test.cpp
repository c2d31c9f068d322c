#include "compiler/source/diagnostic.h"

#include <gtest/gtest.h>
#include <set>

namespace fettle {
namespace {

constexpr DiagnosticKind missing = DiagnosticKind::file_not_found;
constexpr DiagnosticKind unreadable = DiagnosticKind::file_unreadable;

TEST(DiagnosticTable, NamesAreLowerCaseWordsAndUnique) {
    std::set<std::string_view> seen;
    for (const DiagnosticEntry& row : diagnostic_table()) {
        EXPECT_TRUE(seen.insert(row.name).second) << row.name;
        EXPECT_EQ(row.name.find_first_not_of("abcdefghijklmnopqrstuvwxyz0123456789-"),
                  std::string_view::npos)
            << row.name;
    }
    EXPECT_GE(seen.size(), 2U);
}

TEST(DiagnosticTable, SummariesAreSentences) {
    for (const DiagnosticEntry& row : diagnostic_table()) {
        ASSERT_FALSE(row.summary.empty()) << row.name;
        EXPECT_EQ(row.summary.back(), '.') << row.name;
        EXPECT_FALSE(row.summary.front() >= 'a' && row.summary.front() <= 'z') << row.name;
    }
}

TEST(DiagnosticTable, EntryOfAKind) {
    EXPECT_EQ(entry(missing).name, "file-not-found");
    EXPECT_EQ(entry(missing).level, Level::error);
}

TEST(Diagnostics, LevelComesFromTheTable) {
    Diagnostics all;
    EXPECT_FALSE(all.has_errors());
    EXPECT_EQ(all.report(missing, Span{0, 1, 2}, "x").level, Level::error);
    EXPECT_TRUE(all.has_errors());
    EXPECT_EQ(all.count(Level::error), 1U);
    EXPECT_EQ(all.count(Level::caution), 0U);
}

TEST(Diagnostics, SortedByFileThenPlaceThenArrival) {
    Diagnostics all;
    all.report(missing, Span{1, 0, 1}, "f");
    all.report(missing, Span{0, 9, 10}, "e");
    all.report(missing, Span{0, 5, 9}, "d");
    all.report(missing, Span{0, 5, 6}, "b");
    all.report(unreadable, Span{0, 5, 6}, "c");
    all.report(missing, "a");
    std::string order;
    for (const Diagnostic& one : all.sorted()) {
        order += one.message;
    }
    EXPECT_EQ(order, "abcdef");
}

TEST(Diagnostics, RepeatsAreSaidOnce) {
    Diagnostics all;
    all.report(missing, Span{0, 5, 6}, "same");
    all.report(unreadable, Span{0, 5, 6}, "same"); // another kind
    all.report(missing, Span{0, 5, 6}, "same");
    all.report(missing, Span{0, 5, 7}, "same"); // another place
    all.report(missing, Span{0, 5, 6}, "other");
    EXPECT_EQ(all.sorted().size(), 4U);
    EXPECT_EQ(all.all().size(), 5U);
}

TEST(Diagnostics, TakeMovesAllOver) {
    Diagnostics a;
    Diagnostics b;
    a.report(missing, Span{0, 1, 2}, "one");
    b.report(missing, Span{0, 0, 1}, "two").note("n").mend("m", Span{0, 0, 1}, "x");
    a.take(std::move(b));
    ASSERT_EQ(a.all().size(), 2U);
    EXPECT_EQ(a.all()[1].notes.size(), 1U);
    EXPECT_FALSE(a.all()[1].notes[0].has_span);
    EXPECT_EQ(a.all()[1].mends[0].edits[0].replacement, "x");
}

} // namespace
} // namespace fettle
