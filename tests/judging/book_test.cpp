#include "compiler/judging/book.h"

#include <fmt/format.h>
#include <gtest/gtest.h>

namespace fettle {
namespace {

Book read(std::string_view lines) {
    auto book = read_book(std::string(book_header()) + std::string(lines));
    EXPECT_TRUE(std::holds_alternative<Book>(book)) << std::get<std::string>(book);
    return std::holds_alternative<Book>(book) ? std::get<Book>(std::move(book)) : Book{};
}

std::string wrong(std::string_view csv) {
    const auto book = read_book(csv);
    return std::holds_alternative<std::string>(book) ? std::get<std::string>(book) : "";
}

TEST(Book, WhatIsWrittenIsReadAgain) {
    BookEntry entry;
    entry.number = 12;
    entry.firing = "mugs";
    entry.hours = 9.25;
    entry.climb_share = 0.987;
    entry.hotter_than_sensor_k = -3.5;
    entry.cones = "bottom: cone 6 bending, top: cone 6 touching";
    entry.note = "a \"good\" one, # but cold";
    const Book book = read(book_line(entry));
    ASSERT_EQ(book.entries.size(), 1u);
    const BookEntry& again = book.entries[0];
    EXPECT_EQ(again.number, 12);
    EXPECT_EQ(again.hours, 9.25);
    EXPECT_EQ(again.climb_share, 0.987);
    EXPECT_EQ(again.hotter_than_sensor_k, -3.5);
    EXPECT_EQ(again.cones, entry.cones);
    EXPECT_EQ(again.note, entry.note);
    EXPECT_FALSE(again.meter_kwh);
    EXPECT_EQ(next_number(book), 13);
    EXPECT_EQ(next_number({}), 1);
}

TEST(Book, RemarksAndOtherColumnsMayStandInIt) {
    const auto book = read_book("# the loft\n\nnumber,weather,meter_kwh\n1,rain,100\n# new year\n"
                                "3,sun,160.5\n");
    ASSERT_TRUE(std::holds_alternative<Book>(book));
    const Book& read = std::get<Book>(book);
    ASSERT_EQ(read.entries.size(), 2u);
    const auto energies = energies_kwh(read);
    EXPECT_FALSE(energies[0]);
    EXPECT_EQ(energies[1], 60.5);
}

TEST(Book, WhatIsWrongIsToldWithItsLine) {
    EXPECT_NE(wrong("a,b\n1,2\n").find("line 1: this is no book"), std::string::npos);
    EXPECT_NE(wrong("number,hours\n1,9\n2,long\n").find("line 3: `long` in the column `hours`"),
              std::string::npos);
    EXPECT_NE(wrong("number,hours\n2,9\n1,9\n").find("firing 1 comes after firing 2"),
              std::string::npos);
    EXPECT_NE(wrong("number,hours\n1.5,9\n").find("no number of a firing"), std::string::npos);
    EXPECT_NE(wrong("number,hours\n,9\n").find("neither the number"), std::string::npos);
    EXPECT_NE(wrong("number,hours\n\"1,9\n").find("never closed"), std::string::npos);
}

TEST(Book, TrendsBeginAnewWhereAPartWasFitted) {
    std::string lines;
    const auto firing = [&](int number, double share, double hotter) {
        lines += fmt::format("{},,mugs,,,,{},{},,,,,\n", number, share, hotter);
    };
    for (int i = 1; i <= 8; ++i)
        firing(i, 1.0 - 0.01 * i + (i % 2 ? 0.001 : -0.001), 0.5 * i + (i % 2 ? 0.1 : -0.1));
    const auto before = wear_of(read(lines));
    ASSERT_EQ(before.size(), 2u);
    EXPECT_EQ(before[0].wear->part, "elements");
    EXPECT_EQ(before[0].fitted_before, 1);
    ASSERT_TRUE(before[0].renew);
    EXPECT_NEAR(before[0].renew->x, 20, 0.5); // 1 − 0.01·20 = 0.8
    ASSERT_TRUE(before[1].renew);
    EXPECT_NEAR(before[1].renew->x, 18, 0.7); // 0.5·18 = 9
    lines += ",2026-03-07,,,,,,,,,,elements,\n";
    for (int i = 9; i <= 11; ++i)
        firing(i, 1.0, 0.5 * i);
    const auto after = wear_of(read(lines));
    EXPECT_EQ(after[0].fitted_before, 9);
    EXPECT_EQ(after[0].points, 3u);
    EXPECT_FALSE(after[0].trend);
    EXPECT_EQ(after[1].points, 11u);
    firing(12, 0.7, 12);
    const auto worn = wear_of(read(lines));
    EXPECT_TRUE(worn[0].passed);
    EXPECT_TRUE(worn[1].passed);
}

} // namespace
} // namespace fettle
