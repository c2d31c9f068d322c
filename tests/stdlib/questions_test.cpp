// What rules may ask, and what becomes of a rule that can't be answered.
#include "tests/stdlib/programs.h"

#include <fmt/format.h>
#include <gtest/gtest.h>

#include <algorithm>

namespace fettle {
namespace {

struct Outcome {
    std::vector<std::pair<std::string, CheckResult>> checks;
    std::string said;
    bool ok = false;

    std::optional<CheckResult> of(const std::string& rule) const {
        for (const auto& [name, result] : checks) {
            if (name == rule)
                return result;
        }
        return std::nullopt;
    }
    std::size_t count(CheckResult wanted) const {
        return static_cast<std::size_t>(
            std::count_if(checks.begin(), checks.end(),
                          [&](const auto& check) { return check.second == wanted; }));
    }
};

// The one firing of a program.
Outcome outcome_of(const std::string& text) {
    OneText files(text);
    Diagnostics diagnostics;
    const Compilation compilation({"mugs.fettle"}, files, diagnostics);
    Outcome outcome;
    for_each_firing(
        compilation,
        [&](const CompiledFiring& compiled) {
            outcome.ok = compiled.ok;
            for (const Check& check : compiled.document.checks)
                outcome.checks.emplace_back(std::string(check.rule), check.result);
        },
        diagnostics);
    outcome.said = rendered(compilation, diagnostics);
    return outcome;
}

constexpr std::string_view firing = R"(
use std.bodies (stoneware)
kiln loft {{ fuel electric; ceiling 1280C; atmospheres oxidation, neutral }}
glaze ash {{ fires cone 6 }}
rule asked "?" {{ level caution; applies when {}; check {}; because "x"; source "common practice" }}
firing mugs {{
    body stoneware
    kiln loft
    glaze ash
    ware {{ bisqued cone 05; {} }}
    confirm "The Carbon Monoxide alarm is on"
    phase up {{
        vent open
        ramp to 600C at 100C/h
        vent closed
        ramp to cone 6 at 100C/h
    }}
    phase down {{ cool to 150C freely; vent propped; cool to 60C freely }}
}}
)";

CheckResult asked(std::string_view check, std::string_view applies = "yes",
                  std::string_view ware = "thickness 8mm") {
    const Outcome outcome = outcome_of(fmt::format(firing, applies, check, ware));
    const auto result = outcome.of("asked");
    EXPECT_TRUE(result) << outcome.said;
    return result.value_or(CheckResult::broken);
}

TEST(Questions, AreAnswered) {
    for (std::string_view holds : {"given(glaze)",
                                   "given(ware.bisqued)",
                                   "ware.state is bisque",
                                   "ware.bisqued is cone 05",
                                   "not given(ware.mass)",
                                   "not given(kiln.altitude)",
                                   "not given(kiln.altitude + 5metre)",
                                   "given(cone_reached)",
                                   "cone_asked is cone 6",
                                   "has(kiln.atmospheres, neutral)",
                                   "not has(kiln.atmospheres, reduction)",
                                   "has([1, 2, 3], 2)",
                                   "opposite(cone_asked) is cone 06",
                                   "opposite(cone 30) is cone 30",
                                   "confirms(\"carbon monoxide\")",
                                   "not confirms(\"outdoors\")",
                                   "time_on_the_way_up(100C, 300C) is 2h",
                                   "vent_on_the_way_up(100C, 500C) is open",
                                   "vent_between(100C, 500C) is closed",
                                   "hottest_cooling_with(propped) is 150C",
                                   "not given(hottest_cooling_with(open))",
                                   "fastest_set_fall(1000C, 100C) is 0C/h",
                                   "not given(fastest_fall(1000C, 100C))",
                                   "not opened_between(1000C, 100C)"}) {
        EXPECT_EQ(asked(holds), CheckResult::holds) << holds;
    }
}

TEST(Questions, WithoutAnAnswerAreUnknown) {
    EXPECT_EQ(asked("hottest_cooling_with(open) <= 100C"), CheckResult::unknown);
    EXPECT_EQ(asked("ware.mass <= 5kg"), CheckResult::unknown);
    EXPECT_EQ(asked("ware.mass <= 5kg", "given(ware.mass)"), CheckResult::not_applicable);
    EXPECT_EQ(asked("fastest_fall(1000C, 100C) <= 100C/h"), CheckResult::unknown);
}

// A firing that says nothing of its ware gets one remark, with all that is missing, and no rule
// passes in silence.
TEST(Unknown, IsSaidOnceAndNeverPassed) {
    const Outcome outcome = outcome_of("firing mugs { phase up { ramp to 600C at 100C/h\n"
                                       "ramp to cone 6 at 60C/h } }\n");
    EXPECT_TRUE(outcome.ok);
    for (const char* rule : {"steam", "carbon_burnout", "quartz_rise", "overfired", "kiln_ceiling"})
        EXPECT_EQ(outcome.of(rule), CheckResult::unknown) << rule;
    EXPECT_EQ(outcome.count(CheckResult::broken), 0u);
    EXPECT_NE(outcome.said.find("the body (for "), std::string::npos) << outcome.said;
    EXPECT_NE(outcome.said.find("`thickness` of the ware"), std::string::npos) << outcome.said;
    EXPECT_NE(outcome.said.find("the kiln (for kiln_ceiling)"), std::string::npos);
    EXPECT_NE(outcome.said.find("1 piece of advice"), std::string::npos) << outcome.said;
}

// With a glaze, only the firing can say whether its ware was bisqued.
TEST(Unknown, GlazedWareOfUnknownState) {
    const std::string start = "use std.bodies (stoneware)\nuse std.kilns (electric_studio)\n"
                              "glaze ash { fires cone 6 }\n"
                              "firing mugs { body stoneware; kiln electric_studio; glaze ash\n";
    const std::string end = "phase up { ramp to 1100C at 150C/h; ramp to cone 6 at 60C/h } }\n";
    const Outcome silent = outcome_of(start + end);
    EXPECT_EQ(silent.of("steam"), CheckResult::unknown);
    EXPECT_NE(silent.said.find("`state` of the ware (for steam"), std::string::npos) << silent.said;
    const Outcome bisque = outcome_of(start + "ware { state bisque }\n" + end);
    EXPECT_EQ(bisque.of("steam"), CheckResult::not_applicable);
    EXPECT_EQ(bisque.count(CheckResult::unknown), 0u) << bisque.said;
    const Outcome raw = outcome_of(start + "ware { state raw }\n" + end);
    EXPECT_EQ(raw.of("steam"), CheckResult::broken);
}

// A body that leaves out what a rule needs is named with the field.
TEST(Unknown, NamesTheFieldOfTheBody) {
    const Outcome outcome =
        outcome_of("body clay { kind stoneware; matures cone 6; thickness 8mm; moisture 1% }\n"
                   "firing mugs { body clay; phase up { vent open; ramp to 95C at 40C/h\n"
                   "soak 1h; ramp to 900C at 60C/h; ramp to cone 6 at 60C/h } }\n");
    for (const char* missing : {"`organics` of clay", "`free_quartz` of clay"})
        EXPECT_NE(outcome.said.find(missing), std::string::npos) << outcome.said;
    EXPECT_EQ(outcome.of("steam"), CheckResult::holds);
}

TEST(Waivers, OfWhatCanKillAreRefused) {
    const Outcome outcome = outcome_of(
        "use std.bodies (stoneware_high)\nuse std.kilns (gas_studio)\n"
        "firing bowls { body stoneware_high; kiln gas_studio; ware { state bisque }\n"
        "confirm \"Carbon monoxide alarm on\"\n"
        "allow reduction_cold because \"we have always done it\"\n"
        "phase up { atmosphere reduction; ramp to 1150C at 100C/h; ramp to cone 9 at 60C/h\n"
        "atmosphere oxidation; soak 10m } }\n");
    EXPECT_FALSE(outcome.ok);
    EXPECT_EQ(outcome.of("reduction_cold"), CheckResult::broken);
    EXPECT_NE(outcome.said.find("can't be waived"), std::string::npos) << outcome.said;
}

TEST(Waivers, OfOtherRulesAreShown) {
    const Outcome outcome =
        outcome_of("use std.bodies (stoneware)\nuse std.kilns (electric_studio)\n"
                   "firing mugs { body stoneware; kiln electric_studio; ware { state bisque }\n"
                   "allow fast_top because \"test tiles, cones read by eye\"\n"
                   "phase up { ramp to 1230C at 250C/h } }\n");
    EXPECT_TRUE(outcome.ok) << outcome.said;
    EXPECT_EQ(outcome.of("fast_top"), CheckResult::waived);
}

} // namespace
} // namespace fettle
