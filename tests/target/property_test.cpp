// Random firings for random controllers: what is made is never worse than rounding explains, by a
// reader that shares nothing with what made it (compiler/proof).
#include "compiler/proof/table_curve.h"
#include "compiler/target/make_steps.h"
#include "tests/heatwork/standard_cones.h"
#include "tests/target/random_firings.h"

#include <fmt/format.h>
#include <gtest/gtest.h>

#include <cmath>

namespace fettle {
namespace {

constexpr int firings = 40'000;

std::string told(const Schedule& schedule, const Abilities& can) {
    std::string text =
        fmt::format("form {} scale {} time {} temperature {} rate {} max {}\n",
                    static_cast<int>(can.form), static_cast<int>(can.scale), can.time_step_s,
                    can.temperature_step, can.rate_step, can.max_steps.value_or(0));
    for (const Segment& segment : schedule.segments) {
        text += fmt::format("  kind {} {} to {} in {} s\n", static_cast<int>(segment.kind),
                            segment.from_c, segment.to_c, segment.duration_s.value_or(-1));
    }
    return text;
}

std::string told(const Steps& steps) {
    std::string text;
    for (const StepProgram& program : steps.programs) {
        for (const StepRow& row : program.rows) {
            text += fmt::format("  row {} kind {} to {} time {} rate {} soak {} fires {}\n",
                                row.step, static_cast<int>(row.kind), row.target,
                                row.duration_min.value_or(-1), row.rate_per_h.value_or(-1),
                                row.soak_min.value_or(-1), fmt::join(row.segments, " "));
        }
    }
    return text;
}

ConeReading reading_of(const Schedule& schedule) {
    return cone_reached(shelf_cones(), stretches_of(schedule, Estimates::use).stretches);
}

// Not by the room under test, nor by the proof: the plainest words for "no faster than asked".
void expect_no_faster(const Steps& steps, const Schedule& asked) {
    for (const StepProgram& program : steps.programs) {
        double at = to_scale(program.start_c, steps.scale);
        for (const StepRow& row : program.rows) {
            double rate = 0;
            const double step = std::fabs(row.target - at);
            if (row.kind == SegmentKind::soak && step < steps.temperature_step) {
                rate = 0; // to the nearest that can be keyed
            } else if (row.duration_min) {
                rate = std::fabs(row.target - at) / *row.duration_min * 60;
            } else if (row.rate_per_h && std::fabs(row.target - at) > 1e-9) {
                rate = *row.rate_per_h;
            }
            double fastest = 0;
            for (const std::uint32_t i : row.segments) {
                fastest = std::max(fastest, asked.segments[i].duration_s
                                                ? std::fabs(*asked.segments[i].rate_k_per_h())
                                                : 1e18);
            }
            ASSERT_LE(rate, difference_to_scale(fastest, steps.scale) * (1 + 1e-9) + 1e-9);
            at = row.target;
        }
    }
}

void expect_on_grid(double value, double step) {
    EXPECT_NEAR(value / step, std::round(value / step), 1e-6) << value << " in steps of " << step;
}

void expect_keyable(const Steps& steps, const Abilities& can) {
    for (const StepProgram& program : steps.programs) {
        if (can.max_steps) {
            EXPECT_LE(program.rows.size(), *can.max_steps);
        }
        EXPECT_FALSE(program.rows.empty());
        for (const StepRow& row : program.rows) {
            expect_on_grid(row.target, can.temperature_step);
            for (const auto& minutes : {row.duration_min, row.soak_min}) {
                if (minutes) {
                    expect_on_grid(*minutes * 60, can.time_step_s);
                    if (can.longest_step_s) {
                        EXPECT_LE(*minutes * 60, *can.longest_step_s + 1e-6);
                    }
                }
            }
            if (row.rate_per_h) {
                expect_on_grid(*row.rate_per_h, can.rate_step);
                EXPECT_GE(*row.rate_per_h, can.slowest_rate.value_or(0) - 1e-9);
                EXPECT_LE(*row.rate_per_h, can.fastest_rate.value_or(1e18) + 1e-9);
            }
        }
    }
}

TEST(RandomFirings, AreMadeAsAskedOrRefused) {
    std::mt19937 random(20261125);
    int made = 0, simplified = 0, split = 0, refused = 0;
    for (int i = 0; i < firings; ++i) {
        const Schedule schedule = random_schedule(random);
        const Abilities can = random_abilities(random);
        StepsOptions options;
        options.firing = "mugs";
        options.controller = "pad";
        options.split = random() % 3 == 0;
        if (random() % 2 == 0) {
            options.simplify_within_k = 8;
        }
        options.aim = {&shelf_cones(), reading_of(schedule), 1302};
        KeptTexts kept;
        const StepsResult result = make_steps(schedule, can, options, kept);
        ASSERT_NE(result.steps.has_value(), !result.refusals.empty()) << told(schedule, can);
        if (!result.steps) {
            ++refused;
            continue;
        }
        const Steps& steps = *result.steps;
        ++made;
        simplified += steps.simplified;
        split += steps.programs.size() > 1;
        ASSERT_EQ(difference(steps, schedule), "") << "firing " << i << "\n"
                                                   << told(schedule, can) << told(steps);
        if (!steps.simplified) {
            expect_no_faster(steps, schedule);
        }
        expect_keyable(steps, can);
        double off_k = 0;
        for (const StepProgram& program : steps.programs) {
            off_k = std::max(off_k, program.deviation_c);
        }
        const double step_k = difference_from_scale(can.temperature_step, can.scale);
        EXPECT_LE(off_k, (steps.simplified ? 8 : 0) + step_k + 1e-6) << told(schedule, can);
        if (HasFailure()) {
            FAIL() << "firing " << i << "\n" << told(schedule, can);
        }
    }
    // Of each there must be enough, or the test proves nothing.
    EXPECT_GT(made, firings / 10);
    EXPECT_GT(simplified, firings / 200);
    EXPECT_GT(split, firings / 200);
    EXPECT_GT(refused, firings / 10);
    fmt::print("{} made, of them {} simplified and {} split; {} refused\n", made, simplified, split,
               refused);
}

} // namespace
} // namespace fettle
