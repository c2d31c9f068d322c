// Starts and costs by hand: prices over midnight and over both changes of the clock, attended tops,
// and a week of kilns on one supply.
#include "runtime/plan/plan.h"

#include <fstream>
#include <gtest/gtest.h>
#include <sstream>

namespace fettle {
namespace {

Zone london() {
    std::ifstream file("/usr/share/zoneinfo/Europe/London", std::ios::binary);
    std::stringstream bytes;
    bytes << file.rdbuf();
    const auto zone = read_zone(bytes.str(), "Europe/London");
    EXPECT_TRUE(zone);
    return zone.value_or(Zone{});
}
constexpr int clock(int hour, int minute = 0) {
    return hour * 60 + minute;
}
Moment at(const Zone& zone, Date date, int hour, int minute = 0) {
    return moments_of(zone, {date, clock(hour, minute)}).first;
}

// So many hours of 6 kW, the last of them the top; opened 5 h after and unloaded 10 h after.
PlannedFiring firing_of(int hours) {
    PlannedFiring firing;
    firing.kwh.assign(static_cast<std::size_t>(hours) * 60, 0.1);
    firing.heated_to = hours * 60;
    firing.top_to = hours * 60;
    firing.top_from = firing.top_to - 60;
    firing.open_at = firing.heated_to + 5 * 60;
    firing.ready_at = firing.heated_to + 10 * 60;
    firing.draws_kw = 9;
    return firing;
}

Price night() {
    Price price;
    price.per_kwh = 0.1;
    price.from = clock(0, 30);
    price.to = clock(4, 30);
    return price;
}
Price rest() {
    Price price;
    price.per_kwh = 0.3;
    return price;
}
PlanSetting with_night_rate(const Zone& zone) {
    PlanSetting setting;
    setting.zone = zone;
    WeekOfPrices week;
    EXPECT_EQ(prepare({rest(), night()}, week).kind, TariffFault::Kind::none);
    setting.prices = week;
    return setting;
}

// An ordinary night: 0:30 to 4:30 is 4 h, at 6 kW 24 kWh.
TEST(Cost, OverAnOrdinaryNight) {
    const PlanSetting setting = with_night_rate(london());
    const Cost cost = cost_of(firing_of(8), at(setting.zone, {2026, 12, 3}, 23), setting);
    EXPECT_NEAR(cost.kwh, 48, 1e-9);
    ASSERT_EQ(cost.kwh_by_price.size(), 2u);
    EXPECT_NEAR(cost.kwh_by_price[1], 24, 1e-9);
    EXPECT_NEAR(cost.cost, 24 * 0.1 + 24 * 0.3, 1e-9);
}

// 28 March 2027: the wall goes from 00:59 to 02:00, so the cheap hours last three. Started at
// 23:00, eight hours end at 08:00: 1.5 h before the cheap price, 3 h of it (18 kWh), 3.5 h after
// it.
TEST(Cost, OverTheNightThatLosesAnHour) {
    const PlanSetting setting = with_night_rate(london());
    const Moment start = at(setting.zone, {2027, 3, 27}, 23);
    const Cost cost = cost_of(firing_of(8), start, setting);
    EXPECT_NEAR(cost.kwh_by_price[1], 18, 1e-9);
    EXPECT_NEAR(cost.cost, 18 * 0.1 + 30 * 0.3, 1e-9);
    EXPECT_EQ(wall_time(setting.zone, start + 8 * 60).minute, clock(8));
}

// 31 October 2027: 01:59 is followed by 01:00, so they last five (30 kWh), and eight hours from
// 23:00 end at 06:00.
TEST(Cost, OverTheNightThatGainsAnHour) {
    const PlanSetting setting = with_night_rate(london());
    const Moment start = at(setting.zone, {2027, 10, 30}, 23);
    const Cost cost = cost_of(firing_of(8), start, setting);
    EXPECT_NEAR(cost.kwh_by_price[1], 30, 1e-9);
    EXPECT_NEAR(cost.cost, 30 * 0.1 + 18 * 0.3, 1e-9);
    EXPECT_EQ(wall_time(setting.zone, start + 8 * 60).minute, clock(6));
}

TEST(Cost, ByDayOfTheWeek) {
    PlanSetting setting;
    WeekOfPrices week;
    Price weekend;
    weekend.per_kwh = 0.2;
    weekend.days = day_bit(5) | day_bit(6);
    ASSERT_EQ(prepare({rest(), weekend}, week).kind, TariffFault::Kind::none);
    setting.prices = week;
    // Friday 22:00 to Saturday 06:00: two hours dear, six cheaper.
    const Cost cost = cost_of(firing_of(8), at(setting.zone, {2026, 12, 4}, 22), setting);
    EXPECT_NEAR(cost.kwh_by_price[0], 12, 1e-9);
    EXPECT_NEAR(cost.kwh_by_price[1], 36, 1e-9);
    // Sunday 22:00 to Monday: two hours cheaper.
    EXPECT_NEAR(cost_of(firing_of(8), at(setting.zone, {2026, 12, 6}, 22), setting).kwh_by_price[1],
                12, 1e-9);
}

TEST(Cost, WithoutPricesOnlyTheEnergy) {
    const Cost cost = cost_of(firing_of(2), 0, {});
    EXPECT_NEAR(cost.kwh, 12, 1e-9);
    EXPECT_EQ(cost.cost, 0);
}

TEST(Attended, HoursOfTheDay) {
    PlanSetting setting;
    const Moment noon = clock(12);
    EXPECT_FALSE(is_attended(setting, noon, noon)); // nobody said
    setting.attended = Hours{clock(8), clock(22)};
    EXPECT_TRUE(is_attended(setting, clock(8), clock(22)));
    EXPECT_FALSE(is_attended(setting, clock(7, 59), clock(9)));
    EXPECT_FALSE(is_attended(setting, clock(21), clock(22, 1)));
    EXPECT_FALSE(is_attended(setting, clock(22), clock(22)));
    setting.attended = Hours{clock(18), clock(2)};
    EXPECT_TRUE(is_attended(setting, clock(23), clock(26)));
    EXPECT_FALSE(is_attended(setting, clock(23), clock(26, 1)));
    setting.attended = Hours{clock(6), clock(6)};
    EXPECT_TRUE(is_attended(setting, 0, 3 * 24 * 60));
}

const StartChoice* proposed_of(const std::vector<StartChoice>& choices) {
    const StartChoice* found = nullptr;
    for (const StartChoice& choice : choices) {
        EXPECT_FALSE(choice.proposed && found != nullptr);
        found = choice.proposed ? &choice : found;
    }
    return found;
}

// A firing of 4 h fits the cheap hours whole when it starts at 00:30.
TEST(Choose, TheCheapestStart) {
    const PlanSetting setting = with_night_rate(london());
    const Moment loaded = at(setting.zone, {2026, 12, 3}, 17);
    const auto choices =
        choose_starts(firing_of(4), loaded, loaded + 24 * 60, setting, Prefer::earlier);
    const StartChoice* proposed = proposed_of(choices);
    ASSERT_NE(proposed, nullptr);
    EXPECT_TRUE(proposed->cheapest);
    EXPECT_EQ(proposed->start, at(setting.zone, {2026, 12, 4}, 0, 30));
    EXPECT_NEAR(proposed->cost.cost, 2.4, 1e-9);
    EXPECT_TRUE(choices.front().soonest);
    EXPECT_TRUE(choices.back().latest);
    EXPECT_EQ(choices.back().start, loaded + 24 * 60);
}

// Its top, 03:30 to 04:30, has nobody there; the cheapest attended start ends its cheap hours
// later.
TEST(Choose, TheTopIsAttendedWhereThatCanBe) {
    PlanSetting setting = with_night_rate(london());
    setting.attended = Hours{clock(6), clock(22)};
    PlannedFiring firing = firing_of(4);
    firing.jobs = {{0, "Prop the lid"}, {235, "Look at the cones"}};
    const Moment loaded = at(setting.zone, {2026, 12, 3}, 17);
    const auto choices = choose_starts(firing, loaded, loaded + 24 * 60, setting, Prefer::earlier);
    const StartChoice* proposed = proposed_of(choices);
    ASSERT_NE(proposed, nullptr);
    EXPECT_FALSE(proposed->cheapest);
    EXPECT_TRUE(proposed->cheapest_attended);
    EXPECT_TRUE(proposed->top_attended);
    // Top from 06:00: started at 03:00, with 1.5 h at the cheap price.
    EXPECT_EQ(proposed->start, at(setting.zone, {2026, 12, 4}, 3));
    EXPECT_NEAR(proposed->cost.cost, 9 * 0.1 + 15 * 0.3, 1e-9);
    EXPECT_EQ(proposed->jobs_alone, std::vector<std::size_t>{0});
}

TEST(Choose, WhereNoTopCanBeAttendedItIsSaid) {
    PlanSetting setting = with_night_rate(london());
    setting.attended = Hours{clock(12), clock(12, 30)}; // the top takes an hour
    const auto choices = choose_starts(firing_of(4), 0, 24 * 60, setting, Prefer::earlier);
    const StartChoice* proposed = proposed_of(choices);
    ASSERT_NE(proposed, nullptr);
    EXPECT_TRUE(proposed->cheapest);
    EXPECT_FALSE(proposed->top_attended);
}

TEST(Choose, WithoutPricesTheEarliestOrTheLatest) {
    PlanSetting setting;
    const auto choices = choose_starts(firing_of(4), 0, 603, setting, Prefer::later);
    const StartChoice* proposed = proposed_of(choices);
    ASSERT_NE(proposed, nullptr);
    EXPECT_EQ(proposed->start, 603); // the end itself, though it is no step
    EXPECT_FALSE(proposed->cheapest);
    EXPECT_EQ(proposed_of(choose_starts(firing_of(4), 0, 603, setting, Prefer::earlier))->start, 0);
    setting.attended = Hours{clock(8), clock(12)};
    EXPECT_EQ(proposed_of(choose_starts(firing_of(4), 0, 603, setting, Prefer::later))->start,
              clock(8));
    EXPECT_TRUE(choose_starts(firing_of(4), 10, 9, setting, Prefer::later).empty());
    ASSERT_EQ(choose_starts(firing_of(4), 10, 10, setting, Prefer::later).size(), 1u);
}

// --- the week -----------------------------------------------------------------------------------

struct WeekOf {
    PlannedFiring firing = firing_of(8);
    WeekSetting setting;
    std::vector<WeekFiring> firings;

    explicit WeekOf(std::vector<std::size_t> kilns) {
        setting.setting = with_night_rate(london());
        setting.begins = at(setting.setting.zone, {2026, 11, 30}, 0);
        setting.ends = setting.begins + 7 * 24 * 60;
        for (const std::size_t kiln : kilns) {
            firings.push_back({&firing, kiln, std::nullopt});
        }
    }
};

// What must hold of any week: nothing overlaps in a kiln, and the supply bears it.
void expect_sound(const WeekOf& week, const WeekPlan& plan) {
    for (std::size_t i = 0; i < week.firings.size(); ++i) {
        const WeekEntry& a = plan.entries[i];
        if (!a.fits) {
            continue;
        }
        EXPECT_GE(a.start, week.setting.begins);
        EXPECT_LE(a.start + week.firing.ready_at, week.setting.ends);
        EXPECT_LE(a.load_from, a.load_by);
        EXPECT_LE(a.load_by, a.start);
        for (std::size_t j = 0; j < week.firings.size(); ++j) {
            const WeekEntry& b = plan.entries[j];
            if (i != j && b.fits && week.firings[i].kiln == week.firings[j].kiln &&
                a.start <= b.start) {
                EXPECT_GE(b.start, a.start + week.firing.ready_at + week.setting.turnaround);
            }
        }
    }
    if (week.setting.supply_kw) {
        EXPECT_LE(plan.highest_kw, *week.setting.supply_kw + 1e-9);
    }
}

TEST(Week, TwoKilnsOnASupplyForBothFireInTheSameNight) {
    WeekOf week({0, 1});
    week.setting.supply_kw = 18;
    const WeekPlan plan = plan_week(week.firings, week.setting);
    expect_sound(week, plan);
    ASSERT_TRUE(plan.entries[0].fits && plan.entries[1].fits);
    EXPECT_EQ(plan.entries[0].start, plan.entries[1].start);
    EXPECT_EQ(plan.highest_kw, 18);
    EXPECT_NEAR(plan.entries[0].cost.cost, 24 * 0.1 + 24 * 0.3, 1e-9); // all the cheap hours
}

TEST(Week, OnASupplyForOneTheyAreStaggered) {
    WeekOf week({0, 1});
    week.setting.supply_kw = 10;
    const WeekPlan plan = plan_week(week.firings, week.setting);
    expect_sound(week, plan);
    ASSERT_TRUE(plan.entries[0].fits && plan.entries[1].fits);
    EXPECT_EQ(plan.highest_kw, 9);
    EXPECT_GE(std::abs(plan.entries[0].start - plan.entries[1].start), 8 * 60);
    // Each has the cheap hours of a night for itself.
    EXPECT_NEAR(plan.entries[1].cost.cost, 24 * 0.1 + 24 * 0.3, 1e-9);
}

TEST(Week, AKilnIsUnloadedAndLoadedWhileSomebodyIsThere) {
    WeekOf week({0, 0, 0});
    week.setting.setting.attended = Hours{clock(8), clock(22)};
    const WeekPlan plan = plan_week(week.firings, week.setting);
    expect_sound(week, plan);
    for (const WeekEntry& entry : plan.entries) {
        ASSERT_TRUE(entry.fits);
        EXPECT_TRUE(entry.top_attended);
        // Ready in the night, it is unloaded in the morning.
        const int loaded = wall_time(week.setting.setting.zone, entry.load_from).minute;
        EXPECT_TRUE(loaded >= clock(9) && loaded <= clock(22));
        const int last = wall_time(week.setting.setting.zone, entry.load_by).minute;
        EXPECT_TRUE(last >= clock(9) && last <= clock(22));
    }
}

TEST(Week, WhatDoesNotFitIsSaid) {
    WeekOf small({0});
    small.setting.supply_kw = 8; // the kiln draws 9
    EXPECT_FALSE(plan_week(small.firings, small.setting).entries[0].fits);
    WeekOf full({0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0});
    const WeekPlan plan = plan_week(full.firings, full.setting);
    expect_sound(full, plan);
    EXPECT_FALSE(plan.entries.back().fits);
    EXPECT_TRUE(plan.entries.front().fits);
    WeekOf none({});
    EXPECT_TRUE(plan_week(none.firings, none.setting).entries.empty());
}

} // namespace
} // namespace fettle
