#include "compiler/source/source_file.h"

#include <gtest/gtest.h>
#include <thread>

namespace fettle {
namespace {

TEST(SourceFile, LinesAndColumnsCountFromOne) {
    const SourceFile file("a.fettle", "one\ntwo\n");
    EXPECT_EQ(file.line_count(), 3U); // the empty one behind the last line end is a place too
    EXPECT_EQ(file.line(1), "one");
    EXPECT_EQ(file.line(2), "two");
    EXPECT_EQ(file.line(3), "");
    EXPECT_EQ(file.line(4), "");
    EXPECT_EQ(file.place(0).line, 1U);
    EXPECT_EQ(file.place(0).column, 1U);
    EXPECT_EQ(file.place(3).column, 4U); // the line end belongs to its line
    EXPECT_EQ(file.place(4).line, 2U);
    EXPECT_EQ(file.place(4).column, 1U);
    EXPECT_EQ(file.place(8).line, 3U);
    EXPECT_EQ(file.place(1000).line, 3U); // past the end is the end
    EXPECT_EQ(file.line_start(2), 4U);
}

TEST(SourceFile, EmptyTextHasOneLine) {
    const SourceFile file("a.fettle", "");
    EXPECT_EQ(file.line_count(), 1U);
    EXPECT_EQ(file.line(1), "");
    EXPECT_EQ(file.place(0).column, 1U);
}

TEST(SourceFile, CarriageReturnsAreNotPartOfALine) {
    const SourceFile file("a.fettle", "one\r\ntwo\r\n");
    EXPECT_EQ(file.line(1), "one");
    EXPECT_EQ(file.line(2), "two");
    EXPECT_EQ(file.place(5).line, 2U);
}

TEST(SourceFile, ColumnsAreCharacters) {
    // e-acute (2 bytes), a Japanese letter (3), an amphora (4)
    const SourceFile file("a.fettle", "\xC3\xA9\xE6\x97\xA5\xF0\x9F\x8F\xBAx");
    EXPECT_EQ(file.place(2).column, 2U);
    EXPECT_EQ(file.place(5).column, 3U);
    EXPECT_EQ(file.place(9).column, 4U);
    EXPECT_EQ(file.utf16_column(9), 5U); // the amphora takes two units
}

TEST(SourceFile, AByteOrderMarkHasNoColumn) {
    const SourceFile file("a.fettle", "\xEF\xBB\xBFuse\nuse");
    EXPECT_EQ(file.place(3).column, 1U);
    EXPECT_EQ(file.place(4).column, 2U);
    EXPECT_EQ(file.place(0).column, 1U);
    EXPECT_EQ(file.utf16_column(4), 2U);
    EXPECT_EQ(file.place(8).column, 2U);
}

TEST(SourceFile, VeryLongLinesHaveRightColumns) {
    std::string text = "#\n";
    for (int i = 0; i < 20000; ++i) {
        text += i % 3 == 0 ? "\xC3\xA9" : i % 3 == 1 ? "x" : "\xF0\x9F\x8F\xBA";
    }
    const SourceFile file("a.fettle", text);
    std::uint32_t column = 1;
    std::uint32_t utf16 = 1;
    for (std::uint32_t offset = 2; offset < text.size();) {
        ASSERT_EQ(file.place(offset).column, column) << offset;
        ASSERT_EQ(file.utf16_column(offset), utf16) << offset;
        const std::uint32_t kind = (column - 1) % 3;
        offset += kind == 0 ? 2 : kind == 1 ? 1 : 4;
        utf16 += kind == 2 ? 2 : 1;
        ++column;
    }
}

TEST(SourceFile, ManyPlacesInOneHugeLineAreQuick) {
    const SourceFile file("a.fettle", std::string(16U << 20U, 'x'));
    std::uint64_t sum = 0;
    for (std::uint32_t i = 0; i < 2000; ++i) {
        sum += file.place((16U << 20U) - i).column;
    }
    EXPECT_EQ(sum, 2000ULL * ((16U << 20U) + 1) - 1999ULL * 2000 / 2);
}

TEST(SourceFile, ThreadsMayAskAtOnce) {
    std::string text;
    for (int i = 0; i < 1000; ++i) {
        text += "line\n";
    }
    const SourceFile file("a.fettle", text);
    std::vector<std::thread> threads;
    std::vector<std::uint32_t> lines(4);
    for (std::size_t i = 0; i < lines.size(); ++i) {
        threads.emplace_back([&, i] { lines[i] = file.place(2500).line; });
    }
    for (std::thread& thread : threads) {
        thread.join();
    }
    EXPECT_EQ(lines, std::vector<std::uint32_t>(4, 501));
}

TEST(Sources, TextOfASpanIsClampedToTheFile) {
    Sources sources;
    const FileId a = sources.add("a.fettle", "ramp to 600C");
    EXPECT_EQ(sources.text({a, 8, 12}), "600C");
    EXPECT_EQ(sources.text({a, 8, 99}), "600C");
    EXPECT_EQ(sources.text({a, 99, 120}), "");
    EXPECT_EQ(sources.text({7, 0, 1}), "");
}

TEST(Sources, ReferencesStayValid) {
    Sources sources;
    const SourceFile& first = sources[sources.add("first.fettle", "x")];
    for (int i = 0; i < 100; ++i) {
        sources.add("more.fettle", "y");
    }
    EXPECT_EQ(first.path(), "first.fettle");
}

} // namespace
} // namespace fettle
