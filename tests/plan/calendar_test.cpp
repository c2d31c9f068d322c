// Dates and zones: by hand, against known days, and the two changes of a year.
#include "runtime/plan/calendar.h"

#include <fstream>
#include <gtest/gtest.h>
#include <sstream>

namespace fettle {
namespace {

// The system's data; the tests' packages bring it.
Zone zone_named(const std::string& name) {
    std::ifstream file("/usr/share/zoneinfo/" + name, std::ios::binary);
    std::stringstream bytes;
    bytes << file.rdbuf();
    const auto zone = read_zone(bytes.str(), name);
    EXPECT_TRUE(zone) << name;
    return zone.value_or(Zone{});
}
Moment utc(Date date, int hour, int minute = 0) {
    return days_since_1970(date) * 1440 + hour * 60 + minute;
}
WallTime wall(Date date, int hour, int minute = 0) {
    return {date, hour * 60 + minute};
}

TEST(Calendar, DaysAndDates) {
    EXPECT_EQ(days_since_1970({1970, 1, 1}), 0);
    EXPECT_EQ(days_since_1970({2000, 3, 1}), 11017);
    EXPECT_EQ(day_of_week(days_since_1970({2026, 12, 4})), 4); // a Friday
    for (std::int64_t day = 0; day < 400'000; ++day) {
        ASSERT_EQ(days_since_1970(date_of_day(day)), day);
    }
    EXPECT_TRUE(exists({2028, 2, 29}));
    EXPECT_FALSE(exists({2026, 2, 29}));
    EXPECT_FALSE(exists({2100, 2, 29}));
    EXPECT_FALSE(exists({2026, 13, 1}));
}

TEST(Calendar, ReadsDatesAndTimes) {
    EXPECT_EQ(read_date("2026-12-04"), (Date{2026, 12, 4}));
    for (const char* bad :
         {"2026-02-29", "2026-12-4", "26-12-04", "2026/12/04", "", "2026-12-0x"}) {
        EXPECT_FALSE(read_date(bad)) << bad;
    }
    EXPECT_EQ(read_minute_of_day("08:00"), 480);
    EXPECT_EQ(read_minute_of_day("8:05"), 485);
    EXPECT_EQ(read_minute_of_day("23:59"), 1439);
    for (const char* bad : {"24:00", "8", "08:60", "008:00", ":30", "-1:00", "08:0"}) {
        EXPECT_FALSE(read_minute_of_day(bad)) << bad;
    }
}

TEST(Calendar, SpringForwardAndAutumnBackInLondon) {
    const Zone london = zone_named("Europe/London");
    // 28 March 2027: 01:00 becomes 02:00.
    EXPECT_EQ(wall_time(london, utc({2027, 3, 28}, 0, 59)), wall({2027, 3, 28}, 0, 59));
    EXPECT_EQ(wall_time(london, utc({2027, 3, 28}, 1)), wall({2027, 3, 28}, 2));
    EXPECT_EQ(moments_of(london, wall({2027, 3, 28}, 1, 30)).count, 0);
    EXPECT_EQ(moments_of(london, wall({2027, 3, 28}, 2)).first, utc({2027, 3, 28}, 1));
    // 31 October 2027: 02:00 becomes 01:00.
    const Moments twice = moments_of(london, wall({2027, 10, 31}, 1, 30));
    ASSERT_EQ(twice.count, 2);
    EXPECT_EQ(twice.first, utc({2027, 10, 31}, 0, 30));
    EXPECT_EQ(twice.second, utc({2027, 10, 31}, 1, 30));
    EXPECT_EQ(moments_of(london, wall({2027, 10, 31}, 2)).count, 1);
    const auto change = next_clock_change(london, utc({2027, 10, 30}, 12), utc({2027, 11, 2}, 0));
    ASSERT_TRUE(change);
    EXPECT_EQ(change->at, utc({2027, 10, 31}, 1));
    EXPECT_EQ(change->by_minutes, -60);
    EXPECT_FALSE(next_clock_change(london, utc({2027, 11, 1}, 0), utc({2027, 12, 1}, 0)));
}

TEST(Calendar, TheRuleHoldsForLaterYears) {
    const Zone london = zone_named("Europe/London");
    // Last Sundays of March and October 2050: the 27th and the 30th.
    EXPECT_EQ(offset_s_at(london, utc({2050, 3, 27}, 0, 59)), 0);
    EXPECT_EQ(offset_s_at(london, utc({2050, 3, 27}, 1)), 3600);
    EXPECT_EQ(offset_s_at(london, utc({2050, 10, 30}, 0, 59)), 3600);
    EXPECT_EQ(offset_s_at(london, utc({2050, 10, 30}, 1)), 0);
}

TEST(Calendar, OtherZones) {
    const Zone sydney = zone_named("Australia/Sydney"); // summer over the turn of the year
    EXPECT_EQ(offset_s_at(sydney, utc({2060, 1, 1}, 0)), 11 * 3600);
    EXPECT_EQ(offset_s_at(sydney, utc({2060, 7, 1}, 0)), 10 * 3600);
    const Zone kathmandu = zone_named("Asia/Kathmandu");
    EXPECT_EQ(offset_s_at(kathmandu, utc({2026, 7, 1}, 0)), 5 * 3600 + 45 * 60);
    EXPECT_EQ(offset_s_at(zone_named("UTC"), utc({2026, 7, 1}, 0)), 0);
    EXPECT_EQ(offset_s_at(zone_named("America/New_York"), utc({2026, 11, 1}, 5, 59)), -4 * 3600);
    EXPECT_EQ(offset_s_at(zone_named("America/New_York"), utc({2026, 11, 1}, 6)), -5 * 3600);
    const Zone none;
    EXPECT_EQ(wall_time(none, utc({2026, 7, 1}, 12)), wall({2026, 7, 1}, 12));
}

TEST(Calendar, DamagedZoneDataIsRefused) {
    std::ifstream file("/usr/share/zoneinfo/Europe/London", std::ios::binary);
    std::stringstream stream;
    stream << file.rdbuf();
    const std::string bytes = stream.str();
    ASSERT_TRUE(read_zone(bytes, "whole"));
    EXPECT_FALSE(read_zone("", "empty"));
    EXPECT_FALSE(read_zone("TZif2", "short"));
    for (std::size_t size = 0; size < bytes.size(); ++size) {
        ASSERT_FALSE(read_zone(std::string_view(bytes).substr(0, size), "cut")) << size;
    }
    // Any one byte changed: refused or read, never a crash.
    int refused = 0;
    for (std::size_t i = 0; i < bytes.size(); ++i) {
        std::string bad = bytes;
        bad[i] = static_cast<char>(bad[i] ^ 0xff);
        const auto zone = read_zone(bad, "bad");
        refused += zone ? 0 : 1;
        if (zone) {
            offset_s_at(*zone, utc({2027, 6, 1}, 0));
        }
    }
    EXPECT_GT(refused, 100);
}

} // namespace
} // namespace fettle
