// The prices of a week by hand: hours past midnight, days, gaps and overlaps.
#include "runtime/plan/tariff.h"

#include <gtest/gtest.h>

namespace fettle {
namespace {

constexpr int clock(int hour, int minute = 0) {
    return hour * 60 + minute;
}
constexpr int at(int day, int hour, int minute = 0) {
    return day * minutes_per_day + clock(hour, minute);
}
constexpr Days weekdays = 0x1f;

TEST(Tariff, OnePriceForTheWholeWeek) {
    WeekOfPrices week;
    ASSERT_EQ(prepare({Price{0.31, {}, {}, every_day}}, week).kind, TariffFault::Kind::none);
    EXPECT_EQ(week.per_kwh(0), 0.31);
    EXPECT_EQ(week.per_kwh(minutes_per_week - 1), 0.31);
}

TEST(Tariff, ANightBelongsToTheDayOnWhichItBegins) {
    WeekOfPrices week;
    ASSERT_EQ(
        prepare({Price{0.31, {}, {}, every_day}, {0.12, clock(22, 30), clock(6, 30), weekdays}},
                week)
            .kind,
        TariffFault::Kind::none);
    EXPECT_EQ(week.per_kwh(at(0, 0)), 0.31); // Sunday night is no weekday's
    EXPECT_EQ(week.per_kwh(at(0, 22, 29)), 0.31);
    EXPECT_EQ(week.per_kwh(at(0, 22, 30)), 0.12);
    EXPECT_EQ(week.per_kwh(at(1, 6, 29)), 0.12);
    EXPECT_EQ(week.per_kwh(at(1, 6, 30)), 0.31);
    EXPECT_EQ(week.per_kwh(at(5, 6, 29)), 0.12); // Friday's night, on Saturday
    EXPECT_EQ(week.per_kwh(at(5, 23)), 0.31);
}

TEST(Tariff, ANightOfSundayEndsOnMonday) {
    WeekOfPrices week;
    ASSERT_EQ(
        prepare({Price{0.31, {}, {}, every_day}, {0.12, clock(23), clock(7), day_bit(6)}}, week)
            .kind,
        TariffFault::Kind::none);
    EXPECT_EQ(week.per_kwh(at(0, 6, 59)), 0.12);
    EXPECT_EQ(week.per_kwh(at(0, 7)), 0.31);
}

TEST(Tariff, TheSameTimeTwiceIsAWholeDay) {
    WeekOfPrices week;
    ASSERT_EQ(
        prepare({Price{0.31, {}, {}, every_day}, {0.1, clock(12), clock(12), day_bit(2)}}, week)
            .kind,
        TariffFault::Kind::none);
    EXPECT_EQ(week.per_kwh(at(2, 11, 59)), 0.31);
    EXPECT_EQ(week.per_kwh(at(2, 12)), 0.1);
    EXPECT_EQ(week.per_kwh(at(3, 11, 59)), 0.1);
    EXPECT_EQ(week.per_kwh(at(3, 12)), 0.31);
}

TEST(Tariff, TheFirstGapIsFound) {
    WeekOfPrices week;
    const TariffFault fault = prepare({{0.31, clock(6, 30), clock(22, 30), every_day},
                                       {0.12, clock(22, 30), clock(6, 30), weekdays}},
                                      week);
    EXPECT_EQ(fault.kind, TariffFault::Kind::gap);
    EXPECT_EQ(fault.from, at(0, 0));
    EXPECT_EQ(fault.to, at(0, 6, 30));
    EXPECT_EQ(prepare({}, week).kind, TariffFault::Kind::no_price);
}

TEST(Tariff, TheFirstOverlapIsFound) {
    WeekOfPrices week;
    const TariffFault fault = prepare({Price{0.31, {}, {}, every_day},
                                       {0.12, clock(22, 30), clock(6, 30), weekdays},
                                       {0.18, {}, {}, day_bit(5) | day_bit(6)}},
                                      week);
    EXPECT_EQ(fault.kind, TariffFault::Kind::overlap);
    EXPECT_EQ(fault.from, at(5, 0));
    EXPECT_EQ(fault.to, at(5, 6, 30));
    EXPECT_EQ(fault.first, 1u);
    EXPECT_EQ(fault.second, 2u);
    EXPECT_EQ(prepare({Price{0.31, {}, {}, every_day}, {0.3, {}, {}, every_day}}, week).kind,
              TariffFault::Kind::two_for_the_rest);
}

TEST(Tariff, WholeWithoutAPriceForTheRest) {
    WeekOfPrices week;
    EXPECT_EQ(prepare({{0.31, clock(6, 30), clock(22, 30), every_day},
                       {0.12, clock(22, 30), clock(6, 30), every_day}},
                      week)
                  .kind,
              TariffFault::Kind::none);
}

} // namespace
} // namespace fettle
