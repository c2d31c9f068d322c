// Cones as targets: the heat work of a cone is complete where its step ends, not before.
#include "runtime/heatwork/heat_work.h"
#include "tests/language/programs.h"

#include <fmt/format.h>
#include <gtest/gtest.h>

namespace fettle {
namespace {

std::string firing(const std::string& steps) {
    return "firing mugs {\n    phase only {\n" + steps + "\n    }\n}\n";
}

// The heat work of a cone at the end of the firing and before its last segment.
struct Work {
    double at_end = 0, before_last = 0;
};
Work work_of(const Checked& checked, double cone) {
    const Ceramics& ceramics = checked.compilation->context().ceramics;
    const Schedule& schedule = checked.schedules.at(0);
    auto stretches = stretches_of(schedule).stretches;
    Work found;
    found.at_end = work(*ceramics.shelf_cones().find(cone), stretches);
    stretches.pop_back();
    found.before_last = work(*ceramics.shelf_cones().find(cone), stretches);
    return found;
}

TEST(Cones, at_a_steady_rate_from_cold_it_is_the_table) {
    for (const char* cone : {"022", "010", "06", "04", "1", "6", "10"}) {
        for (const char* rate : {"15C/h", "60C/h", "150C/h"}) {
            const Checked climbed =
                check_text(firing(fmt::format("ramp to cone {} at {}", cone, rate)));
            ASSERT_EQ(climbed.schedules.size(), 1u) << said(climbed);
            const std::string table =
                value_of(fmt::format("temperature(cone {}, at: {})", cone, rate));
            EXPECT_NEAR(climbed.schedules[0].segments[0].to_c, std::stod(table), 0.11)
                << cone << " at " << rate;
            EXPECT_EQ(climbed.schedules[0].segments[0].to_cone, cone);
        }
    }
}

TEST(Cones, solved_temperatures_are_rounded_to_a_tenth) {
    const Checked checked = check_text(firing("ramp to cone 6 at 77C/h"));
    const double to_c = checked.schedules.at(0).segments[0].to_c;
    EXPECT_NEAR(to_c * 10, std::round(to_c * 10), 1e-9);
}

TEST(Cones, complete_at_the_end_of_the_ramp) {
    const Checked checked = check_text(firing("ramp to 1000C at 150C/h; ramp to cone 6 at 60C/h"));
    const Work found = work_of(checked, 6);
    EXPECT_NEAR(found.at_end, 1, 0.01);
    EXPECT_LT(found.before_last, 0.05);
}

TEST(Cones, complete_at_the_end_of_the_soak_and_not_before) {
    const Checked checked =
        check_text(firing("ramp to 1000C at 150C/h; ramp to cone 6 at 60C/h with soak 20m"));
    ASSERT_EQ(checked.schedules.at(0).segments.size(), 3u);
    EXPECT_EQ(checked.schedules[0].segments[1].to_cone, "");
    EXPECT_EQ(checked.schedules[0].segments[2].to_cone, "6");
    const Work found = work_of(checked, 6);
    EXPECT_NEAR(found.at_end, 1, 0.01);
    EXPECT_LT(found.before_last, 0.9);
    const Checked without = check_text(firing("ramp to 1000C at 150C/h; ramp to cone 6 at 60C/h"));
    EXPECT_LT(checked.schedules[0].segments[1].to_c, without.schedules.at(0).segments[1].to_c - 5);
}

TEST(Cones, soak_until) {
    const Checked checked = check_text(firing("ramp to 1200C at 60C/h; soak until cone 6"));
    const Segment& soak = checked.schedules.at(0).segments.at(1);
    EXPECT_EQ(soak.kind, SegmentKind::soak);
    EXPECT_DOUBLE_EQ(*soak.duration_s, std::round(*soak.duration_s)); // whole seconds
    EXPECT_NEAR(work_of(checked, 6).at_end, 1, 0.001);
}

TEST(Cones, over_a_time) {
    const Checked checked = check_text(firing("ramp to 1100C at 100C/h; ramp to cone 6 over 2h"));
    EXPECT_NEAR(work_of(checked, 6).at_end, 1, 0.01);
    EXPECT_DOUBLE_EQ(*checked.schedules[0].segments[1].duration_s, 7200);
}

TEST(Cones, what_came_before_counts) {
    const auto top = [](const std::string& before) {
        const Checked checked = check_text(firing(before + "\nramp to cone 6 at 100C/h"));
        return checked.schedules.empty() ? -1 : checked.schedules[0].segments.back().to_c;
    };
    const double plain = top("ramp to 1150C at 100C/h");
    EXPECT_LT(top("ramp to 1150C at 100C/h; soak 1h"), plain);
    EXPECT_LT(top("ramp to 1200C at 100C/h; cool to 1100C at 100C/h"), plain);
    // Far below its range nothing counts.
    EXPECT_DOUBLE_EQ(top("ramp to 700C at 100C/h; soak 10h\nramp to 1150C at 100C/h"), plain);
}

TEST(Cones, one_after_the_other_in_one_firing) {
    EXPECT_EQ(said(check_text(firing("ramp to cone 04 at 100C/h; cool to 900C at 100C/h\n"
                                     "ramp to cone 5 at 60C/h; ramp to cone 6 at 60C/h"))),
              "");
    EXPECT_NE(said(check_text(firing("ramp to cone 6 at 60C/h; cool to 900C at 100C/h\n"
                                     "ramp to cone 5 at 60C/h")))
                  .find("error[cone-already-complete]"),
              std::string::npos);
}

TEST(Cones, stretches_without_a_known_time) {
    // Below its range they do no harm, and a hotter cone is out of doubt.
    EXPECT_EQ(said(check_text(firing("ramp to 600C at full; ramp to cone 6 at 60C/h"))), "");
    EXPECT_NE(said(check_text(firing("ramp to 1200C at full; ramp to cone 6 at 60C/h")))
                  .find("error[cone-after-unknown]"),
              std::string::npos);
    EXPECT_NE(said(check_text(firing("ramp to cone 6 at full"))).find("error[cone-after-unknown]"),
              std::string::npos);
}

TEST(Cones, a_hotter_one_by_accident) {
    const auto hotter = [](const std::string& steps) {
        return said(check_text(firing(steps))).find("caution[hotter-cone-reached]") !=
               std::string::npos;
    };
    EXPECT_TRUE(hotter("ramp to cone 6 at 60C/h; soak 2h"));
    EXPECT_FALSE(hotter("ramp to cone 6 at 60C/h; soak 10m"));
    EXPECT_FALSE(hotter("ramp to cone 6 at 60C/h; soak 2h; ramp to cone 8 at 60C/h"));
    EXPECT_FALSE(hotter("ramp to 1260C at 60C/h; soak 2h")); // no cone is asked for
    EXPECT_TRUE(hotter("ramp to cone 6 at 60C/h; cool to 1200C at 150C/h; soak 4h"));
}

TEST(Cones, opposites) {
    const auto opposite = [](const std::string& body, const std::string& cone) {
        const std::string all = said(check_text("body clay {\n    " + body +
                                                "\n}\nfiring mugs {\n    body clay\n"
                                                "    phase only {\n        ramp to " +
                                                cone + " at 60C/h\n    }\n}\n"));
        return all.find("caution[opposite-cone]") != std::string::npos;
    };
    EXPECT_TRUE(opposite("matures cone 6", "cone 06"));
    EXPECT_TRUE(opposite("matures cone 5 to cone 7", "cone 06"));
    EXPECT_TRUE(opposite("matures cone 06 to cone 04", "cone 5"));
    EXPECT_TRUE(opposite("bisque cone 06", "cone 6"));
    EXPECT_TRUE(opposite("matures cone 5.5", "cone 05.5"));
    EXPECT_FALSE(opposite("matures cone 6", "cone 6"));
    EXPECT_FALSE(opposite("matures cone 6", "cone 04")); // far off, but not the mirror image
    EXPECT_FALSE(opposite("matures cone 6; bisque cone 06", "cone 06"));
    EXPECT_FALSE(opposite("matures cone 1", "cone 01")); // next to one another
    EXPECT_FALSE(opposite("kind stoneware", "cone 06"));
}

} // namespace
} // namespace fettle
