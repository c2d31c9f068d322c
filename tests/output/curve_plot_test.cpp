#include "compiler/output/curve_plot.h"

#include "compiler/output/plot_shape.h"
#include "compiler/source/characters.h"
#include "tests/output/sample.h"

#include <cmath>
#include <gtest/gtest.h>
#include <random>

namespace fettle {
namespace {

std::string text_of(const std::vector<std::string>& lines) {
    std::string text;
    for (const std::string& line : lines) {
        text += line + "\n";
    }
    return text;
}

TEST(CurvePlot, NothingToDraw) {
    EXPECT_TRUE(plot_curve(sample::empty()->schedule, {}).empty());
}

// A straight climb is drawn as a straight line from corner to corner.
TEST(CurvePlot, StraightClimb) {
    auto firing = sample::empty();
    firing->schedule.start_c = 0;
    firing->phase("up");
    firing->ramp(400, 100);
    const PlotOptions options{.width = 30, .height = 5, .style = PlotStyle::ascii};
    EXPECT_EQ(text_of(plot_curve(firing->schedule, options)), "400C +                     .--\n"
                                                              "300C +               .-----'\n"
                                                              "200C +         .-----'\n"
                                                              "100C +   .-----'\n"
                                                              "  0C +---'\n"
                                                              "     ++-----------+----------+\n"
                                                              "      0h         2h         4h\n"
                                                              "      |          up\n");
}

TEST(CurvePlot, FitsAtEverySize) {
    for (const auto& firing : {sample::bisque(), sample::reduction_glaze(), sample::odd_texts(),
                               sample::many_segments(1000)}) {
        for (std::size_t width : {0, 30, 47, 80, 200}) {
            for (std::size_t height : {0, 4, 5, 8, 17, 60}) {
                for (auto style : {PlotStyle::ascii, PlotStyle::lines, PlotStyle::braille}) {
                    const auto lines =
                        plot_curve(firing->schedule, {.width = width,
                                                      .height = height,
                                                      .scale = Scale::fahrenheit,
                                                      .style = style,
                                                      .first_segment_clock_s = 80000});
                    ASSERT_GE(lines.size(), 5u);
                    for (const std::string& line : lines) {
                        EXPECT_LE(display_width(line), std::max<std::size_t>(width, 30)) << line;
                    }
                }
            }
        }
    }
}

TEST(CurvePlot, AsciiIsAscii) {
    for (const auto& line : plot_curve(sample::reduction_glaze()->schedule,
                                       {.style = PlotStyle::ascii, .first_segment_clock_s = 0})) {
        for (char c : line) {
            EXPECT_TRUE(c >= ' ' && c <= '~') << line;
        }
    }
}

TEST(CurvePlot, NamesPhasesOrSpellsThemOut) {
    const std::string text = text_of(plot_curve(sample::reduction_glaze()->schedule, {}));
    for (const char* name :
         {"warming", "climb", "body_reduction", "glaze_climb", "drop", "hold", "cooling"}) {
        EXPECT_NE(text.find(name), std::string::npos) << name;
    }
}

TEST(CurvePlot, ManyPhasesAreNotAllSpelledOut) {
    auto firing = sample::empty();
    for (int i = 0; i < 300; ++i) {
        firing->phase("phase_with_a_long_name_" + std::to_string(i));
        firing->ramp(i % 2 == 0 ? 1000 : 900, 100);
    }
    const auto lines = plot_curve(firing->schedule, {});
    EXPECT_LT(lines.size(), 30u);
    EXPECT_NE(text_of(lines).find("more"), std::string::npos);
}

TEST(CurvePlot, SaysWhatIsDashed) {
    const auto has = [](const Schedule& schedule, std::string_view words) {
        return text_of(plot_curve(schedule, {.width = 120})).find(words) != std::string::npos;
    };
    auto known = sample::empty();
    known->phase("up");
    known->ramp(500, 100);
    EXPECT_FALSE(has(known->schedule, "own time"));
    EXPECT_TRUE(has(sample::bisque()->schedule, "only a sketch"));
    EXPECT_TRUE(has(sample::reduction_glaze()->schedule, "as estimated"));
}

TEST(CurvePlot, SegmentsWithoutAnyTime) {
    auto firing = sample::empty();
    firing->phase("flat_out");
    firing->own_time(SegmentKind::full, 1000);
    const auto lines = plot_curve(firing->schedule, {});
    EXPECT_NE(text_of(lines).find("only a sketch"), std::string::npos);
    EXPECT_NE(text_of(lines).find("0h"), std::string::npos);
}

// --- the shape ----------------------------------------------------------------------------------

TEST(PlotShape, TimesAreAskedEstimatedOrSketched) {
    const auto firing = sample::reduction_glaze();
    const Shape shape = shape_of(firing->schedule);
    EXPECT_TRUE(shape.estimates);
    EXPECT_FALSE(shape.shapes);
    EXPECT_DOUBLE_EQ(shape.timed_s, shape.total_s);
    EXPECT_EQ(shape.segments[6].trust, Trust::estimated);
    EXPECT_NEAR(shape.segments[6].end_s - shape.segments[6].begin_s, 0.6 * 3600, 1e-6);

    const Shape sketch = shape_of(sample::bisque()->schedule);
    EXPECT_TRUE(sketch.shapes);
    EXPECT_LT(sketch.timed_s, sketch.total_s);
    EXPECT_EQ(sketch.highest_c, 1052.7);
    EXPECT_EQ(sketch.lowest_c, 20);
}

TEST(PlotShape, CoolingFallsEverSlowerAndArrives) {
    const DrawnSegment cooling{0, 10, 1000, 100, Trust::shape, true, 0};
    EXPECT_NEAR(cooling.temperature_at(0), 1000, 1e-9);
    EXPECT_NEAR(cooling.temperature_at(10), 100, 1e-9);
    for (int t = 1; t < 10; ++t) {
        const double fall = cooling.temperature_at(t - 1) - cooling.temperature_at(t);
        const double next = cooling.temperature_at(t) - cooling.temperature_at(t + 1);
        EXPECT_GT(fall, next);
        EXPECT_GT(next, 0);
    }
}

// Whatever falls between two columns, the columns together hold all temperatures of the curve.
TEST(PlotShape, ColumnsHoldTheWholeCurve) {
    std::mt19937 random(7);
    for (std::size_t count : {1u, 3u, 40u, 2000u}) {
        auto firing = sample::empty();
        firing->phase("any");
        for (int i = 0; i < 50; ++i) {
            firing->ramp(static_cast<double>(20 + random() % 1200), 50 + random() % 500);
        }
        const Shape shape = shape_of(firing->schedule);
        const auto columns = columns_of(shape, count);
        ASSERT_EQ(columns.size(), count);
        double highest = -1e9, lowest = 1e9;
        for (std::size_t i = 0; i < count; ++i) {
            highest = std::max(highest, columns[i].high_c);
            lowest = std::min(lowest, columns[i].low_c);
            EXPECT_LE(columns[i].low_c, columns[i].first_c);
            EXPECT_GE(columns[i].high_c, columns[i].last_c);
            if (i == 0) {
                continue;
            }
            EXPECT_NEAR(columns[i].first_c, columns[i - 1].last_c, 1e-6);
        }
        EXPECT_NEAR(highest, shape.highest_c, 1e-9);
        EXPECT_NEAR(lowest, shape.lowest_c, 1e-9);
    }
}

} // namespace
} // namespace fettle
