#include "compiler/lowering/expectations.h"

#include "compiler/ceramics/ceramics.h"
#include "runtime/heatwork/heat_work.h"
#include "tests/language/programs.h"

#include <gtest/gtest.h>

namespace fettle {
namespace {

const ConeScale& cones() {
    static const Ceramics ceramics(StandardLibrary::text("data/cones_large.csv"),
                                   StandardLibrary::text("data/cones_pce.csv"));
    return ceramics.shelf_cones();
}

struct Expected {
    Schedule schedule;
    FiringDocument document;
};

std::unique_ptr<Expected> expect(std::string_view phases) {
    const Checked checked = check_text("firing a {\n" + std::string(phases) + "\n}\n");
    EXPECT_EQ(checked.schedules.size(), 1u) << said(checked);
    auto expected = std::make_unique<Expected>();
    expected->schedule = checked.schedules.at(0);
    expected->document.schedule = &expected->schedule;
    const auto known = stretches_of(expected->schedule, Estimates::use);
    fill_expectations(cones(), cone_reached(cones(), known.stretches), expected->document);
    return expected;
}

const Interruption* find(const Expected& expected, Interrupted kind) {
    for (const Interruption& each : expected.document.interruptions) {
        if (each.kind == kind)
            return &each;
    }
    return nullptr;
}

constexpr std::string_view glost = R"(
    phase up { ramp to 600C at 100C/h; ramp to 1100C at 150C/h }
    phase top { ramp to cone 6 at 60C/h with soak 15m }
    phase cooling { cool to 100C freely }
)";

TEST(Cones, TheOneBeforeFallsFirstAndTheOneBeyondStands) {
    const auto made = expect(glost);
    const auto& set = made->document.cones_expected;
    ASSERT_EQ(set.size(), 3u);
    EXPECT_EQ(set[0].cone, "5");
    EXPECT_EQ(set[1].cone, "6");
    EXPECT_EQ(set[2].cone, "7");
    EXPECT_TRUE(set[0].falls && set[1].falls);
    EXPECT_FALSE(set[2].falls);
    ASSERT_TRUE(set[0].falls_s && set[1].falls_s);
    EXPECT_LT(*set[0].falls_s, *set[1].falls_s);
    // Cone 6 was asked for at the end of the soak.
    const auto ends = Curve(made->schedule).starts_s();
    EXPECT_NEAR(*set[1].falls_s, *ends[4], 60);
    EXPECT_NEAR(set[1].at_c, made->schedule.segments[3].to_c, 0.1);
}

TEST(Interruptions, EachPhaseHasItsBandsOfTemperature) {
    const auto made = expect(glost);
    const auto& all = made->document.interruptions;
    ASSERT_GE(all.size(), 5u);
    EXPECT_EQ(all[0].kind, Interrupted::drying);
    EXPECT_EQ(all[1].kind, Interrupted::dark);
    EXPECT_EQ(all[1].from_c, 200);
    EXPECT_EQ(all[1].to_c, 600);
    EXPECT_EQ(all[2].kind, Interrupted::red);
    EXPECT_EQ(all.back().kind, Interrupted::cooling);
    EXPECT_NE(find(*made, Interrupted::near_top), nullptr);
}

// The heat work of a firing that failed there, fell, and did what it was told: the same as without.
TEST(Interruptions, WhatIsLeftNearTheTopAddsUpToTheHeatWorkOfTheFiring) {
    for (std::string_view text :
         {glost, std::string_view("phase top { ramp to cone 10 at 80C/h }"),
          std::string_view(
              "phase top { ramp to 1000C at 150C/h; ramp to 1270C at 60C/h; soak 30m }"),
          std::string_view("phase top { ramp to 960C at 400C/h; soak until cone 06 }")}) {
        const auto made = expect(text);
        const auto& set = made->document.cones_expected;
        ASSERT_EQ(set.size(), 3u);
        const ConeReading reading =
            cone_reached(cones(), stretches_of(made->schedule, Estimates::use).stretches);
        const ConeKinetics& cone = cones().cones[*reading.complete];
        const auto all = stretches_of(made->schedule).stretches;
        const auto starts = Curve(made->schedule).starts_s();
        const double whole = work(cone, all);
        std::size_t rows = 0;
        for (const Interruption& each : made->document.interruptions) {
            for (const HeatWorkLeft& left : each.left) {
                std::vector<HeatStretch> fired;
                for (std::size_t i = 0; i < all.size() && *starts[i] < *left.at_s; ++i) {
                    HeatStretch stretch = all[i];
                    const double into = std::min(*left.at_s - *starts[i], stretch.duration_s);
                    stretch.to_c = stretch.from_c +
                                   (stretch.to_c - stretch.from_c) * into / stretch.duration_s;
                    stretch.duration_s = into;
                    fired.push_back(stretch);
                }
                EXPECT_NEAR(fired.back().to_c, left.reached_c, 0.1);
                EXPECT_NEAR(work(cone, fired) / whole, left.done, 0.02);
                ASSERT_TRUE(left.rate_k_per_h);
                const double from_c = left.reached_c - 100;
                fired.push_back({from_c, left.climb_to_c,
                                 (left.climb_to_c - from_c) / *left.rate_k_per_h * 3600});
                fired.push_back({left.climb_to_c, left.climb_to_c, left.soak_s});
                // Whole degrees: a degree is some 3 % of the work.
                EXPECT_NEAR(work(cone, fired) / whole, 1, 0.04)
                    << text << " after " << left.done << " at " << left.reached_c;
                EXPECT_LE(left.climb_to_c, Curve(made->schedule).peak().value.value());
                ++rows;
            }
        }
        EXPECT_GE(rows, 4u) << text;
    }
}

TEST(Interruptions, TheLaterItFailsTheLessIsLeft) {
    const auto made = expect(glost);
    const Interruption* top = find(*made, Interrupted::near_top);
    ASSERT_NE(top, nullptr);
    for (std::size_t i = 1; i < top->left.size(); ++i) {
        EXPECT_GT(top->left[i].done, top->left[i - 1].done);
        EXPECT_LE(top->left[i].climb_to_c, top->left[i - 1].climb_to_c);
    }
}

TEST(Interruptions, AfterTheTopItNeverClimbsButWhereTheFiringItselfDoes) {
    const auto made = expect(R"(
        phase top { ramp to 1260C at 100C/h }
        phase matting { cool to 1100C at 150C/h; cool to 950C at 65C/h }
        phase cooling { cool to 100C freely })");
    const Interruption* held = find(*made, Interrupted::held_falling);
    ASSERT_NE(held, nullptr);
    EXPECT_EQ(held->to_c, 950);
    EXPECT_EQ(find(*made, Interrupted::held_climbing), nullptr);

    const auto rings = expect(R"(
        phase top { ramp to 1260C at 100C/h }
        phase growing { cool to 1080C at 300C/h; soak 1h; cool by 25dC at 150C/h
            ramp by 25dC at 150C/h; soak 1h }
        phase cooling { cool to 100C freely })");
    const Interruption* climbing = find(*rings, Interrupted::held_climbing);
    ASSERT_NE(climbing, nullptr);
    EXPECT_EQ(climbing->from_c, 1080); // no higher than the phase itself
    EXPECT_EQ(climbing->to_c, 1055);
}

TEST(Interruptions, TellTheColdestReduction) {
    const auto made = expect(R"(
        phase up { atmosphere oxidation; ramp to 900C at 150C/h }
        phase reducing { atmosphere reduction; ramp to 1270C at 80C/h }
        phase cooling { cool to 100C freely })");
    for (const Interruption& each : made->document.interruptions) {
        EXPECT_EQ(each.reduction_from_c.has_value(), each.phase == 1);
        EXPECT_EQ(each.reduction_from_c.value_or(900), 900);
    }
}

TEST(Interruptions, AFiringBelowEveryConeHasNoneNearTheTop) {
    const auto made = expect("phase drying { ramp to 150C at 60C/h; soak 1h }");
    EXPECT_TRUE(made->document.cones_expected.empty());
    ASSERT_EQ(made->document.interruptions.size(), 1u);
    EXPECT_EQ(made->document.interruptions[0].kind, Interrupted::drying);
}

} // namespace
} // namespace fettle
