// The table type: what it refuses, and that a schedule comes through the rounding unharmed.
#include "runtime/player/table.h"

#include "runtime/schedule/curve.h"
#include "runtime/schedule/to_table.h"

#include <gtest/gtest.h>
#include <random>

namespace fettle {
namespace {

namespace constant {

// As a generated header has it.
constexpr const char* phases[] = {"up", "down"};
constexpr player::Segment segments[] = {
    {player::Kind::ramp, 600'000, 6LL * 3600 * 1000, 0, 0, 0, nullptr},
    {player::Kind::full, 1'000'000, 0, 3600'000, 0, 0, nullptr},
    {player::Kind::soak, 1'000'000, 600'000, 0, 5'000, 0, "Look at the cones"},
    {player::Kind::free, 100'000, 0, 0, 0, 1, nullptr},
};
constexpr player::Table mugs = {"mugs", 20'000, 1'280'000, 0, segments, 4, phases, 2};
static_assert(player::fault_of(mugs) == player::TableFault::none);
static_assert(player::peak_millicelsius(mugs) == 1'000'000);

} // namespace constant

using player::Kind;
using player::TableFault;

// A table of one changed segment or head.
TableFault fault_with(std::size_t index, void (*change)(player::Segment&, player::Table&)) {
    std::vector<player::Segment> segments(std::begin(constant::segments),
                                          std::end(constant::segments));
    player::Table table = constant::mugs;
    change(segments[index], table);
    if (table.segments == constant::segments) {
        table.segments = segments.data();
    }
    return player::fault_of(table);
}

TEST(Table, EachFaultIsFound) {
    using player::Segment;
    using player::Table;
    EXPECT_EQ(fault_with(0, [](Segment&, Table&) {}), TableFault::none);
    EXPECT_EQ(fault_with(0, [](Segment&, Table& t) { t.segment_count = 0; }), TableFault::empty);
    EXPECT_EQ(fault_with(0, [](Segment&, Table& t) { t.segments = nullptr; }), TableFault::empty);
    EXPECT_EQ(fault_with(0, [](Segment&, Table& t) { t.segment_count = 10'001; }),
              TableFault::too_many);
    EXPECT_EQ(fault_with(0, [](Segment&, Table& t) { t.start_millicelsius = -60'001; }),
              TableFault::temperature);
    EXPECT_EQ(fault_with(1, [](Segment& s, Table&) { s.to_millicelsius = 1'280'001; }),
              TableFault::temperature);
    EXPECT_EQ(fault_with(0, [](Segment&, Table& t) { t.delay_ms = -1; }), TableFault::duration);
    EXPECT_EQ(fault_with(0, [](Segment& s, Table&) { s.duration_ms = 0; }), TableFault::duration);
    EXPECT_EQ(fault_with(1, [](Segment& s, Table&) { s.duration_ms = 1; }), TableFault::duration);
    EXPECT_EQ(fault_with(0, [](Segment& s, Table&) { s.duration_ms = player::longest_ms + 1; }),
              TableFault::duration);
    EXPECT_EQ(fault_with(1, [](Segment& s, Table&) { s.expected_ms = -1; }), TableFault::duration);
    EXPECT_EQ(fault_with(2, [](Segment& s, Table&) { s.to_millicelsius = 999'999; }),
              TableFault::wrong_direction);
    EXPECT_EQ(fault_with(1, [](Segment& s, Table&) { s.to_millicelsius = 599'999; }),
              TableFault::wrong_direction);
    EXPECT_EQ(fault_with(3, [](Segment& s, Table&) { s.to_millicelsius = 1'000'001; }),
              TableFault::wrong_direction);
    EXPECT_EQ(fault_with(2, [](Segment& s, Table&) { s.waiting_within_millikelvin = -1; }),
              TableFault::waiting);
    EXPECT_EQ(fault_with(3, [](Segment& s, Table&) { s.waiting_within_millikelvin = 1; }),
              TableFault::waiting);
    EXPECT_EQ(fault_with(3, [](Segment& s, Table&) { s.phase = 2; }), TableFault::phase);
}

TEST(Table, TheFingerprintIsOfWhatIsPlayed) {
    auto segments = std::vector(std::begin(constant::segments), std::end(constant::segments));
    player::Table table = constant::mugs;
    table.segments = segments.data();
    table.name = "another name";
    segments[2].job = nullptr;
    EXPECT_EQ(player::fingerprint(table), player::fingerprint(constant::mugs));
    segments[2].duration_ms += 1;
    EXPECT_NE(player::fingerprint(table), player::fingerprint(constant::mugs));
    segments[2].duration_ms -= 1;
    table.start_millicelsius += 1;
    EXPECT_NE(player::fingerprint(table), player::fingerprint(constant::mugs));
}

Schedule small_schedule() {
    Schedule schedule;
    schedule.phases = {{"up", "Up", ""}, {"down", "", ""}};
    Segment ramp;
    ramp.to_c = 600.0004;
    ramp.duration_s = 20'880.0123;
    Segment soak;
    soak.kind = SegmentKind::soak;
    soak.from_c = soak.to_c = ramp.to_c;
    soak.duration_s = 600;
    soak.waiting_within_k = 5;
    soak.jobs = {"Shut the vent", "Look at the cones"};
    Segment cooling;
    cooling.kind = SegmentKind::free;
    cooling.from_c = soak.to_c;
    cooling.to_c = 100;
    cooling.estimated_duration_s = 36'000;
    cooling.phase = 1;
    schedule.segments = {ramp, soak, cooling};
    return schedule;
}

TEST(ToTable, CarriesEverythingThatIsPlayed) {
    const MadeTable made = to_table(small_schedule(), "mugs", 1280);
    ASSERT_EQ(made.fault, TableFault::none);
    EXPECT_STREQ(made.table.name, "mugs");
    EXPECT_EQ(made.table.start_millicelsius, 20'000);
    EXPECT_EQ(made.table.ceiling_millicelsius, 1'280'000);
    ASSERT_EQ(made.table.segment_count, 3);
    EXPECT_EQ(made.segments[0].to_millicelsius, 600'000);
    EXPECT_EQ(made.segments[0].duration_ms, 20'880'012);
    EXPECT_EQ(made.segments[1].kind, Kind::soak);
    EXPECT_EQ(made.segments[1].waiting_within_millikelvin, 5'000);
    EXPECT_STREQ(made.segments[1].job, "Shut the vent; Look at the cones");
    EXPECT_EQ(made.segments[2].kind, Kind::free);
    EXPECT_EQ(made.segments[2].duration_ms, 0);
    EXPECT_EQ(made.segments[2].expected_ms, 36'000'000);
    EXPECT_STREQ(made.table.phases[made.segments[2].phase], "down");
}

TEST(ToTable, SaysWhatCanNotBePlayed) {
    EXPECT_EQ(to_table(Schedule{}, "nothing").fault, TableFault::empty);
    EXPECT_EQ(to_table(small_schedule(), "hot", 500).fault, TableFault::temperature);
    Schedule hot = small_schedule();
    hot.segments[0].to_c = 1e300;
    EXPECT_EQ(to_table(hot, "hot").fault, TableFault::temperature);
    Schedule odd = small_schedule();
    odd.segments[0].to_c = std::nan("");
    EXPECT_EQ(to_table(odd, "odd").fault, TableFault::temperature);
    Schedule many = small_schedule();
    many.segments.resize(70'000, many.segments[0]);
    EXPECT_EQ(to_table(many, "many").fault, TableFault::too_many);
}

// Hundreds of odd durations: the ends stay within half a millisecond, they don't drift.
TEST(ToTable, RoundingDoesNotAddUp) {
    std::mt19937 random(7);
    std::uniform_real_distribution<double> seconds(0.001, 3.0);
    Schedule schedule = small_schedule();
    schedule.segments.resize(1);
    for (int i = 0; i < 9'000; ++i) {
        Segment segment = schedule.segments[0];
        segment.from_c = segment.to_c;
        segment.kind = SegmentKind::soak;
        segment.duration_s = seconds(random);
        schedule.segments.push_back(segment);
    }
    const MadeTable made = to_table(schedule, "many");
    ASSERT_EQ(made.fault, TableFault::none);
    const auto starts = Curve(schedule).starts_s();
    std::int64_t end_ms = 0;
    for (std::size_t i = 0; i < made.segments.size(); ++i) {
        end_ms += made.segments[i].duration_ms;
        ASSERT_NEAR(static_cast<double>(end_ms), *starts[i + 1] * 1000, 0.501) << i;
    }
}

} // namespace
} // namespace fettle
