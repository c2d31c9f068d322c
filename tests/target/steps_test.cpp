// Tables worked out by hand.
#include "compiler/proof/table_curve.h"
#include "compiler/target/make_steps.h"
#include "tests/heatwork/standard_cones.h"

#include <cmath>
#include <gtest/gtest.h>

namespace fettle {
namespace {

class Firing {
  public:
    explicit Firing(double start_c = 20) {
        schedule.start_c = at_ = start_c;
        schedule.phases = {{"all", "", ""}};
        schedule.states.resize(1);
    }
    Firing& ramp(double to_c, double rate_k_per_h) {
        return add(SegmentKind::ramp, to_c, std::abs(to_c - at_) / rate_k_per_h * 3600);
    }
    Firing& soak(double minutes) { return add(SegmentKind::soak, at_, minutes * 60); }
    Firing& by_itself(SegmentKind kind, double to_c) { return add(kind, to_c, std::nullopt); }

    Schedule schedule;

  private:
    Firing& add(SegmentKind kind, double to_c, std::optional<double> duration_s) {
        Segment& segment = schedule.segments.emplace_back();
        segment.kind = kind;
        segment.from_c = at_;
        segment.to_c = at_ = to_c;
        segment.duration_s = duration_s;
        return *this;
    }
    double at_;
};

StepsResult made(const Firing& firing, const Abilities& can, KeptTexts& kept,
                 std::optional<double> within = {}, bool split = false) {
    StepsOptions options;
    options.firing = "mugs";
    options.controller = "pad";
    options.simplify_within_k = within;
    options.split = split;
    options.aim = {
        &shelf_cones(),
        cone_reached(shelf_cones(), stretches_of(firing.schedule, Estimates::ignore).stretches),
        {}};
    StepsResult result = make_steps(firing.schedule, can, options, kept);
    if (result.steps) {
        EXPECT_EQ(difference(*result.steps, firing.schedule), "");
    }
    return result;
}

// Common practice for staircase controllers: divide the climb by the rate. 20 to 120 at 100 an hour
// is an hour; 120 to 573 at 150 is 3.02 hours, 182 minutes when rounded up; 573 to 1000 at 100 is
// 4.27 hours, 257 minutes.
TEST(Steps, TheStaircaseByHand) {
    KeptTexts kept;
    const auto result =
        made(Firing().ramp(120, 100).soak(30).ramp(573, 150).ramp(1000, 100).soak(15),
             {.form = StepForm::duration_target}, kept);
    ASSERT_TRUE(result.steps);
    const std::vector<StepRow>& rows = result.steps->programs[0].rows;
    ASSERT_EQ(rows.size(), 5u);
    const double minutes[] = {60, 30, 182, 257, 15}, targets[] = {120, 120, 573, 1000, 1000};
    for (std::size_t i = 0; i < rows.size(); ++i) {
        EXPECT_EQ(rows[i].duration_min, minutes[i]) << i;
        EXPECT_EQ(rows[i].target, targets[i]) << i;
    }
}

TEST(Steps, ASoakGoesIntoTheStepOfItsClimb) {
    KeptTexts kept;
    const auto result = made(Firing().ramp(120, 100.9).soak(30).ramp(1000, 150).soak(10).soak(5),
                             {.form = StepForm::rate_target_soak}, kept);
    ASSERT_TRUE(result.steps);
    const std::vector<StepRow>& rows = result.steps->programs[0].rows;
    ASSERT_EQ(rows.size(), 2u);
    EXPECT_EQ(rows[0].rate_per_h, 100); // down, never up
    EXPECT_EQ(rows[0].soak_min, 30);
    EXPECT_EQ(rows[1].soak_min, 15);
    EXPECT_EQ(rows[1].segments, (std::vector<std::uint32_t>{2, 3, 4}));
}

TEST(Steps, FahrenheitIsRoundedInFahrenheit) {
    KeptTexts kept;
    const auto result = made(Firing().ramp(600, 100),
                             {.form = StepForm::rate_or_soak, .scale = Scale::fahrenheit}, kept);
    ASSERT_TRUE(result.steps);
    const StepRow& row = result.steps->programs[0].rows[0];
    EXPECT_EQ(row.target, 1112);
    EXPECT_EQ(row.rate_per_h, 180);
}

// 573 lies between 570 and 580: the slow climb over quartz must not end too early.
TEST(Steps, TheSlowerPieceIsTheLonger) {
    KeptTexts kept;
    const Abilities coarse{.form = StepForm::rate_or_soak, .temperature_step = 10};
    auto result = made(Firing().ramp(573, 50).ramp(900, 150), coarse, kept);
    EXPECT_EQ(result.steps->programs[0].rows[0].target, 580);
    result = made(Firing().ramp(573, 150).ramp(900, 50), coarse, kept);
    EXPECT_EQ(result.steps->programs[0].rows[0].target, 570);
    Abilities cools = coarse;
    cools.cooling = Can::yes;
    result = made(Firing(20).ramp(900, 100).ramp(573, 50).ramp(100, 80), cools, kept);
    EXPECT_EQ(result.steps->programs[0].rows[1].target, 570);
}

TEST(Steps, ALongStepIsCutInEqualParts) {
    KeptTexts kept;
    const auto result = made(Firing().ramp(1020, 100).soak(90),
                             {.form = StepForm::duration_target, .longest_step_s = 5 * 3600}, kept);
    const std::vector<StepRow>& rows = result.steps->programs[0].rows;
    ASSERT_EQ(rows.size(), 3u);
    EXPECT_EQ(rows[0].target, 520);
    EXPECT_EQ(rows[0].duration_min, 300);
    EXPECT_EQ(rows[1].duration_min, 300);
}

TEST(Steps, AFallInTheMiddleAsFarAsTheFormHasIt) {
    const Firing firing =
        Firing().ramp(1200, 150).soak(10).by_itself(SegmentKind::free, 1100).ramp(950, 60);
    KeptTexts kept;
    Abilities can{.form = StepForm::rate_or_soak, .fastest_rate = 999, .cooling = Can::yes};
    EXPECT_FALSE(made(firing, can, kept).steps);
    EXPECT_EQ(made(firing, can, kept).refusals[0].kind, DiagnosticKind::free_fall_midway);
    can.full_rate = Can::yes;
    auto row = made(firing, can, kept).steps->programs[0].rows[2];
    EXPECT_EQ(row.kind, SegmentKind::free);
    EXPECT_FALSE(row.rate_per_h);
    can.full_rate = Can::no;
    can.waits = Can::yes;
    row = made(firing, can, kept).steps->programs[0].rows[2];
    EXPECT_EQ(row.rate_per_h, 999);
    EXPECT_EQ(row.waiting_within, 5);
    can.waits = Can::no;
    const auto split = made(firing, can, kept, {}, true);
    ASSERT_EQ(split.steps->programs.size(), 2u);
    EXPECT_EQ(split.steps->programs[0].then, "mugs-2");
    EXPECT_NE(split.steps->programs[0].between.find("fallen to 1100C"), std::string_view::npos);
    EXPECT_EQ(split.steps->programs[1].start_c, 1100);
}

TEST(Steps, ThePeakGoesWhereTheHeatWorkIsNearest) {
    KeptTexts kept;
    const Firing firing = Firing().ramp(1000, 150).ramp(1213.4, 60).soak(12);
    const auto result =
        made(firing, {.form = StepForm::duration_target, .time_step_s = 300, .temperature_step = 5},
             kept);
    ASSERT_TRUE(result.steps);
    // Of 1210 or 1215 and 10 or 15 minutes, by the definition itself.
    const ConeKinetics& cone = *shelf_cones().find(5);
    const auto off = [&](double peak_c, double soak_min) {
        const auto heat = stretches_of(firing.schedule, Estimates::ignore).stretches;
        const double climb_min = std::ceil((peak_c - 1000) / 60 * 60 / 5) * 5;
        const HeatStretch keyed[] = {
            {20, 1000, 395 * 60}, {1000, peak_c, climb_min * 60}, {peak_c, peak_c, soak_min * 60}};
        return std::fabs(std::log(work(cone, keyed) / work(cone, heat)));
    };
    const std::vector<StepRow>& rows = result.steps->programs[0].rows;
    const double chosen = off(rows[1].target, *rows[2].duration_min);
    for (const double peak_c : {1210.0, 1215.0}) {
        for (const double soak_min : {10.0, 15.0}) {
            EXPECT_LE(chosen, off(peak_c, soak_min) + 1e-3) << peak_c << " " << soak_min;
        }
    }
}

TEST(Steps, TooManySayHowManyAndWhatWouldFit) {
    KeptTexts kept;
    Firing firing;
    for (int i = 1; i <= 11; ++i) {
        firing.ramp(20 + 100.0 * i, i % 2 == 0 ? 90 : 110);
    }
    const Abilities can{.form = StepForm::duration_target, .max_steps = 4};
    const auto refused = made(firing, can, kept);
    ASSERT_FALSE(refused.steps);
    EXPECT_EQ(refused.refusals[0].kind, DiagnosticKind::too_many_steps);
    EXPECT_NE(refused.refusals[0].message.find("takes 11 steps, 7 too many"), std::string::npos);
    const auto too_little = made(firing, can, kept, 0.5);
    ASSERT_FALSE(too_little.steps);
    const auto simplified = made(firing, can, kept, 20);
    ASSERT_TRUE(simplified.steps);
    EXPECT_TRUE(simplified.steps->simplified);
    EXPECT_LE(simplified.steps->programs[0].rows.size(), 4u);
    EXPECT_EQ(simplified.steps->programs[0].rows.back().target, 1120); // the peak stays
}

} // namespace
} // namespace fettle
