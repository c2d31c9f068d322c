// One firing on five controllers that differ in form, scale, number of steps and rounding: five
// tables that fire the same curve, to within what each says of itself. The curves are read back
// from the keys by compiler/proof, which shares no arithmetic with the room that makes tables.
#include "compiler/lowering/compile_firing.h"
#include "compiler/proof/table_curve.h"
#include "runtime/schedule/curve.h"
#include "tests/language/programs.h"

#include <gtest/gtest.h>

#include <cmath>

namespace fettle {
namespace {

constexpr std::string_view tiles = R"(use std.controllers (times_few, rates_few, either_few)

kiln loft { controller minutes }

controller minutes    from times_few {}
controller quarters   from times_few { time_step 5min; temperature_step 5C }
controller pad        from rates_few {}
controller pad_f      from rates_few { scale F; temperature_step 1F; rate_step 1F/h; rates 1F/h to 1799F/h }
controller either_way from either_few { rate_step 5C/h; rates 5C/h to 600C/h }

firing tiles {
    kiln loft
    phase drying {
        ramp to 92C at 45C/h
        soak 1h
    }
    phase up {
        ramp to 607C at 110C/h
        ramp to 1003C at 75C/h
        ramp to 1048C at 50C/h with soak 20m
    }
    phase down { cool to 843C at 65C/h with soak 30m }
    phase cooling { cool to 60C freely }
}
)";

// Of one step: its temperature, its time, or for a rate what rounding it down can cost.
struct Rounding {
    double temperature_k = 0;
    double time_s = 0;
    double rate_k_per_h = 0;
};

Rounding rounding_of(const Steps& steps) {
    const double degree = steps.scale == Scale::celsius ? 1 : 5.0 / 9;
    return {steps.temperature_step * degree, steps.time_step_s,
            steps.form == StepForm::duration_target ? 0 : steps.rate_step * degree};
}

void expect_same_curve(const Schedule& asked, const Schedule& made, const Rounding& rounding) {
    ASSERT_EQ(made.segments.size(), asked.segments.size());
    for (std::size_t i = 0; i < asked.segments.size(); ++i) {
        SCOPED_TRACE(i);
        const Segment& wanted = asked.segments[i];
        const Segment& got = made.segments[i];
        EXPECT_EQ(got.kind, wanted.kind);
        EXPECT_NEAR(got.to_c, wanted.to_c, rounding.temperature_k + 1e-6);
        if (!wanted.duration_s) {
            EXPECT_FALSE(got.duration_s);
            continue;
        }
        ASSERT_TRUE(got.duration_s);
        if (wanted.kind == SegmentKind::soak) {
            EXPECT_NEAR(*got.duration_s, *wanted.duration_s, rounding.time_s + 1e-6);
            continue;
        }
        const double asked_rate = std::fabs(*wanted.rate_k_per_h());
        const double made_rate = std::fabs(*got.rate_k_per_h());
        EXPECT_LE(made_rate, asked_rate + 1e-6) << "never faster than asked";
        // A step of time later, over a way that is up to a temperature step longer at either end.
        const double way_k = std::fabs(got.to_c - got.from_c);
        const double slowest_s = rounding.rate_k_per_h > 0
                                     ? way_k / (asked_rate - rounding.rate_k_per_h) * 3600
                                     : way_k / asked_rate * 3600 + rounding.time_s;
        EXPECT_LE(*got.duration_s, slowest_s + 1e-3);
    }
}

TEST(FiveControllers, FireTheSameCurve) {
    const Checked checked = check_text(std::string(tiles));
    ASSERT_FALSE(checked.diagnostics.has_errors()) << said(checked);
    const Program& program = checked.compilation->program();
    const DeclarationId firing = checked.compilation->find_firing("tiles");
    ASSERT_NE(firing, none);
    std::size_t tried = 0, forms = 0;
    std::optional<StepForm> form;
    double lowest_peak_c = 1e9, highest_peak_c = 0;
    for (std::uint32_t i = 0; i < program.profiles.size(); ++i) {
        const Declaration& declaration = program.declarations[program.profiles[i].declaration];
        if (program.profiles[i].kind != ProfileKind::controller ||
            program.modules[declaration.module].standard) {
            continue;
        }
        SCOPED_TRACE(program.name(declaration.name));
        CompileContext context = checked.compilation->context();
        context.controller = i;
        CompiledFiring compiled;
        Diagnostics diagnostics;
        ASSERT_TRUE(compile_firing(context, firing, compiled, diagnostics))
            << compiled.fault << (diagnostics.all().empty() ? "" : diagnostics.all()[0].message);
        ASSERT_TRUE(compiled.document.steps);
        const Steps& steps = *compiled.document.steps;
        EXPECT_EQ(compiled.document.controller.name, program.name(declaration.name));
        EXPECT_FALSE(steps.simplified);
        EXPECT_EQ(difference(steps, compiled.schedule), "");
        std::string problem;
        const TableCurve curve = table_curve(steps, compiled.schedule, problem);
        EXPECT_EQ(problem, "");
        expect_same_curve(compiled.schedule, curve.schedule, rounding_of(steps));
        ASSERT_TRUE(steps.cones_off);
        EXPECT_LT(std::fabs(*steps.cones_off), 0.2) << "the ware comes out as it should";
        const double peak_c = *Curve(curve.schedule).peak().value;
        lowest_peak_c = std::min(lowest_peak_c, peak_c);
        highest_peak_c = std::max(highest_peak_c, peak_c);
        forms += form != steps.form ? 1 : 0;
        form = steps.form;
        ++tried;
    }
    EXPECT_EQ(tried, 5u);
    EXPECT_EQ(forms, 3u) << "all forms of a step";
    EXPECT_LE(highest_peak_c - lowest_peak_c, 5 + 1) << "the coarsest step and a degree";
}

} // namespace
} // namespace fettle
