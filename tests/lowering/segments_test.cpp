// Steps become segments: where they go, how long they take, what holds in them.
#include "tests/language/programs.h"

#include <fmt/format.h>
#include <gtest/gtest.h>

namespace fettle {
namespace {

Schedule only_schedule(const Checked& checked) {
    EXPECT_EQ(checked.schedules.size(), 1u) << said(checked);
    return checked.schedules.empty() ? Schedule{} : checked.schedules[0];
}

std::string firing(const std::string& steps, const std::string& settings = "") {
    return "kiln yard {\n    ceiling 1280C\n    control damper one of shut, half, open\n}\n"
           "firing mugs {\n    kiln yard\n" +
           settings + "\n    phase only {\n" + steps + "\n    }\n}\n";
}

Schedule schedule_of(const std::string& steps, const std::string& settings = "") {
    return only_schedule(check_text(firing(steps, settings)));
}

std::string said_of(const std::string& steps, const std::string& settings = "") {
    return said(check_text(firing(steps, settings)));
}

TEST(Segments, a_rate_gives_the_time) {
    const Schedule schedule = schedule_of("ramp to 620C at 100C/h; cool to 320C at 150C/h");
    ASSERT_EQ(schedule.segments.size(), 2u);
    EXPECT_DOUBLE_EQ(schedule.segments[0].from_c, 20);
    EXPECT_DOUBLE_EQ(schedule.segments[0].to_c, 620);
    EXPECT_DOUBLE_EQ(*schedule.segments[0].duration_s, 6 * 3600);
    EXPECT_DOUBLE_EQ(*schedule.segments[0].rate_k_per_h(), 100);
    EXPECT_DOUBLE_EQ(*schedule.segments[1].duration_s, 2 * 3600);
    EXPECT_DOUBLE_EQ(*schedule.segments[1].rate_k_per_h(), -150);
}

TEST(Segments, rates_in_any_unit_are_the_same_rate) {
    const double in_c = *schedule_of("ramp to 620C at 60C/h").segments[0].duration_s;
    EXPECT_DOUBLE_EQ(*schedule_of("ramp to 620C at 1C/min").segments[0].duration_s, in_c);
    EXPECT_DOUBLE_EQ(*schedule_of("ramp to 620C at 108F/h").segments[0].duration_s, in_c);
    EXPECT_DOUBLE_EQ(*schedule_of("ramp to 1148F at 108F/h").segments[0].duration_s, in_c);
    EXPECT_DOUBLE_EQ(*schedule_of("ramp to 620C over 10h").segments[0].duration_s, in_c);
    EXPECT_DOUBLE_EQ(*schedule_of("ramp by 600dC at 60C/h").segments[0].duration_s, in_c);
}

TEST(Segments, what_the_kiln_does_in_its_own_time_has_no_duration) {
    const Schedule schedule =
        schedule_of("ramp to 600C at full; cool to 300C freely; cool to 60C opened");
    ASSERT_EQ(schedule.segments.size(), 3u);
    EXPECT_EQ(schedule.segments[0].kind, SegmentKind::full);
    EXPECT_EQ(schedule.segments[1].kind, SegmentKind::free);
    EXPECT_EQ(schedule.segments[2].kind, SegmentKind::opened);
    for (const Segment& segment : schedule.segments)
        EXPECT_FALSE(segment.duration_s);
}

TEST(Segments, with_soak_and_waiting) {
    const Schedule schedule =
        schedule_of("ramp to 600C at 100C/h with soak 15m waiting within 5C\nsoak 10m");
    ASSERT_EQ(schedule.segments.size(), 3u);
    EXPECT_EQ(schedule.segments[1].kind, SegmentKind::soak);
    EXPECT_DOUBLE_EQ(*schedule.segments[1].duration_s, 900);
    EXPECT_DOUBLE_EQ(*schedule.segments[1].waiting_within_k, 5);
    EXPECT_FALSE(schedule.segments[2].waiting_within_k);
    EXPECT_DOUBLE_EQ(*schedule_of("ramp to 600C at 100C/h; soak 1h waiting within 9F")
                          .segments[1]
                          .waiting_within_k,
                     5);
}

TEST(Segments, a_ramp_climbs_and_a_cool_falls) {
    EXPECT_EQ(said_of("ramp to 10C at 100C/h"),
              "error[wrong-direction]: `ramp` climbs, but the firing is at 20C here, and 10C is "
              "cooler\n");
    EXPECT_EQ(said_of("ramp to 600C at 100C/h; cool to 700C at 100C/h"),
              "error[wrong-direction]: `cool` falls, but the firing is at 600C here, and 700C is "
              "hotter\n");
    EXPECT_EQ(said_of("cool to 100F freely"),
              "error[wrong-direction]: `cool` falls, but the firing is at 68F here, and 100F is "
              "hotter\n");
}

TEST(Segments, a_step_to_where_it_is_makes_none) {
    const Checked checked =
        check_text(firing("ramp to 600C at 100C/h; ramp to 600.04C at 100C/h; soak 10m"));
    EXPECT_EQ(only_schedule(checked).segments.size(), 2u);
    EXPECT_EQ(checked.diagnostics.count(Level::advice), 1u);
    EXPECT_EQ(schedule_of("ramp to 600C at 100C/h; ramp to 600.06C at 100C/h").segments.size(), 2u);
    // Its soak is still one.
    EXPECT_EQ(schedule_of("ramp to 600C at 100C/h; ramp to 600C at 50C/h with soak 5m")
                  .segments.back()
                  .kind,
              SegmentKind::soak);
}

TEST(Segments, the_start) {
    const Schedule schedule = schedule_of("ramp to 600C at 100C/h", "    start at 100C\n"
                                                                    "    start after 90m");
    EXPECT_DOUBLE_EQ(schedule.start_c, 100);
    EXPECT_DOUBLE_EQ(schedule.delay_s, 5400);
    EXPECT_DOUBLE_EQ(*schedule.segments[0].duration_s, 5 * 3600);
}

std::string states_of(const Schedule& schedule) {
    std::string all;
    for (const Segment& segment : schedule.segments) {
        const KilnState& state = schedule.states[segment.state];
        all +=
            fmt::format("{}{}", static_cast<int>(state.vent), static_cast<int>(state.atmosphere));
        for (const ControlSetting& setting : state.settings)
            all += ":" + setting.value;
        all += ' ';
    }
    return all;
}

TEST(Segments, what_is_set_holds_until_it_is_changed) {
    // Unknown until set (0), from the next segment on, across phases.
    const Checked checked = check_text(R"(
kiln yard {
    control damper one of shut, half, open
}
firing mugs {
    kiln yard
    phase one {
        ramp to 100C at 100C/h
        vent open; atmosphere oxidation
        ramp to 200C at 100C/h
    }
    phase two {
        ramp to 300C at 100C/h
        set damper half
        vent closed
        ramp to 400C at 100C/h
        vent open
        vent propped
        atmosphere reduction
        ramp to 500C at 100C/h
    }
}
)");
    EXPECT_EQ(states_of(only_schedule(checked)), "00 11 11 31:half 23:half ");
}

TEST(Segments, notes_and_jobs_belong_to_the_segment_that_follows) {
    const Checked checked = check_text(R"(
firing mugs {
    phase one {
        note "first"
        do "light it"
        ramp to 100C at 100C/h
        note "second"
        ramp to 200C at 100C/h
        note "third"
        do "close it"
    }
    phase two {
        note "fourth"
        soak 10m
    }
}
)");
    const Schedule schedule = only_schedule(checked);
    ASSERT_EQ(schedule.segments.size(), 3u);
    using Texts = std::vector<std::string>;
    EXPECT_EQ(schedule.segments[0].notes, Texts{"first"});
    EXPECT_EQ(schedule.segments[0].jobs, Texts{"light it"});
    // After the last segment of a phase: to that one, since the phase is over.
    EXPECT_EQ(schedule.segments[1].notes, (Texts{"second", "third"}));
    EXPECT_EQ(schedule.segments[1].jobs, Texts{"At the end: close it"});
    EXPECT_EQ(schedule.segments[2].notes, Texts{"fourth"});
}

TEST(Segments, the_ceiling_of_the_kiln) {
    EXPECT_EQ(said_of("ramp to 1280C at 100C/h"), "");
    EXPECT_EQ(said_of("ramp to 1281C at 100C/h"),
              "error[above-ceiling]: 1281C is above the ceiling of yard, 1280C\n");
    EXPECT_EQ(said_of("ramp to 2340F at 180F/h"),
              "error[above-ceiling]: 2340F is above the ceiling of yard, 2336F\n");
    EXPECT_NE(said_of("ramp to 1200C at 100C/h; ramp by 81C at 50C/h").find("above-ceiling"),
              std::string::npos);
}

TEST(Segments, phases_keep_their_titles) {
    const Schedule schedule = only_schedule(check_text(R"(
firing mugs {
    phase one "The first of {1 + 1}" {
        about "Gently"
        soak 1h
    }
    phase two {
        soak 1h
    }
}
)"));
    ASSERT_EQ(schedule.phases.size(), 2u);
    EXPECT_EQ(schedule.phases[0].title, "The first of 2");
    EXPECT_EQ(schedule.phases[0].about, "Gently");
    EXPECT_EQ(schedule.segments[1].phase, 1u);
}

} // namespace
} // namespace fettle
