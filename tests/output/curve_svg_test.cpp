#include "compiler/output/curve_svg.h"

#include "compiler/output/html_page.h"
#include "tests/output/golden.h"
#include "tests/output/python.h"
#include "tests/output/sample.h"

#include <cmath>
#include <gtest/gtest.h>

namespace fettle {
namespace {

bool has(std::string_view text, std::string_view part) {
    return text.find(part) != std::string_view::npos;
}

std::string file(const sample::FiringPtr& firing, CurveSvgOptions options = {}) {
    return curve_svg_file(firing->schedule, options);
}

TEST(CurveSvg, Bisque) {
    expect_golden("bisque.svg", file(sample::bisque()));
}

TEST(CurveSvg, TheCurveIsDrawnThroughTheEndsOfItsSegments) {
    sample::FiringPtr firing = sample::empty();
    firing->phase("up");
    firing->ramp(520, 100); // 5 h
    firing->soak(300);      // 5 h
    const std::string svg = file(firing, {.width = 500, .height = 300});
    const std::size_t at = svg.find("class=\"asked\" d=\"M");
    ASSERT_NE(at, std::string::npos);
    double x[3], y[3];
    ASSERT_EQ(std::sscanf(svg.c_str() + at, "class=\"asked\" d=\"M%lf %lfL%lf %lfL%lf %lf", &x[0],
                          &y[0], &x[1], &y[1], &x[2], &y[2]),
              6);
    EXPECT_NEAR(x[1] - x[0], x[2] - x[1], 0.2); // both take five hours
    EXPECT_LT(y[1], y[0]);                      // up
    EXPECT_EQ(y[1], y[2]);
}

TEST(CurveSvg, WhatTheKilnDecidesIsDashedAndSaidInWords) {
    EXPECT_FALSE(has(file(sample::many_segments(8)), "class=\"sketch\""));
    const std::string unknown = file(sample::bisque());
    EXPECT_TRUE(has(unknown, "<path class=\"sketch\""));
    EXPECT_TRUE(has(unknown, "not known: only a sketch"));
    const std::string estimated = file(sample::reduction_glaze());
    EXPECT_TRUE(has(estimated, "<path class=\"estimated\""));
    EXPECT_TRUE(has(estimated, "as estimated"));
}

TEST(CurveSvg, OverlaysCorridorAndConesAreDrawnAndNamed) {
    CurveSvgOptions options;
    options.overlays = {{"as the model expects", OverlayStyle::predicted, {{0, 20}, {3600, 90}}},
                        {"as fired on Monday", OverlayStyle::logged, {{0, 20}, {90000, 60}}}};
    options.corridor = CurveCorridor{{{0, 40}, {3600, 120}}, {{0, 20}, {3600, 80}}, "stay inside"};
    options.cones = {{{36000, 1000}, "cone 05"}};
    const std::string svg = file(sample::bisque(), options);
    for (std::string_view part : {"as the model expects", "as fired on Monday", "stay inside",
                                  "<path class=\"predicted\"", "<path class=\"logged\"",
                                  "<path class=\"corridor\"", "<path class=\"cone\"", "cone 05"}) {
        EXPECT_TRUE(has(svg, part)) << part;
    }
}

TEST(CurveSvg, TimesOfDayStandBelowTheHours) {
    CurveSvgOptions options;
    EXPECT_FALSE(has(file(sample::bisque(), options), ">22:30<"));
    options.first_segment_clock_s = 22.5 * 3600;
    EXPECT_TRUE(has(file(sample::bisque(), options), ">22:30<"));
}

TEST(CurveSvg, FahrenheitOnTheAxis) {
    EXPECT_TRUE(has(file(sample::bisque(), {.scale = Scale::fahrenheit}), ">1500F<"));
}

TEST(CurveSvg, OddTextsAreEscapedAndTheFileIsXml) {
    const sample::FiringPtr firing = sample::odd_texts();
    const std::string title = "<script>alert(1)</script> & \"\x1b[31m\" \xff";
    const std::string svg = file(firing, {.title = title});
    EXPECT_FALSE(has(svg, "<script"));
    EXPECT_FALSE(has(svg, "\x1b"));
    const Folder folder;
    EXPECT_EQ(run_python("parse_xml.py", {folder.write("odd.svg", svg)}), 0);
}

TEST(CurveSvg, AnySizeAndShapeIsDrawnWithFiniteNumbers) {
    for (double width : {1.0, 200.0, 2000.0}) {
        for (const sample::FiringPtr& firing :
             {sample::empty(), sample::bisque(), sample::many_segments(3000)}) {
            const std::string svg = file(firing, {.width = width, .height = width / 3});
            EXPECT_FALSE(has(svg, "nan"));
            EXPECT_FALSE(has(svg, "inf"));
        }
    }
}

TEST(CurvePoints, EndWhereTheCurveEnds) {
    const sample::FiringPtr firing = sample::bisque();
    const CurvePoints curve = curve_points(firing->schedule);
    EXPECT_EQ(curve.points.front().temperature_c, 20);
    EXPECT_EQ(curve.points.back().temperature_c, firing->schedule.segments.back().to_c);
    EXPECT_LT(curve.known, curve.points.size()); // nobody knows how long it cools
}

} // namespace
} // namespace fettle
