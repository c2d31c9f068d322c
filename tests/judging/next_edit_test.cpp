#include "compiler/judging/next_edit.h"

#include "compiler/compiler.h"

#include <gtest/gtest.h>
#include <map>

namespace fettle {
namespace {

class Texts : public SourceProvider {
  public:
    std::map<std::string, std::string> files;
    std::optional<std::string> read(const std::string& path, std::string&) override {
        const auto at = files.find(path);
        return at == files.end() ? std::nullopt : std::optional(at->second);
    }
};

struct Edited {
    std::string text; // the file after it; or why there is none
    std::string inside;
    double peak_c = 0; // of the firing, compiled again
    std::string difference;
};

// The firing `mugs` of a file, with another top and soak.
Edited edited(const std::string& source, double top_c, double soak_s) {
    Texts texts;
    texts.files["mugs.fettle"] = source;
    Diagnostics diagnostics;
    const Compilation compilation({"mugs.fettle"}, texts, diagnostics, RulesAlwaysOn::off);
    CompiledFiring firing;
    const DeclarationId mugs = compilation.find_firing("mugs");
    if (mugs == none || !compile_firing(compilation.context(), mugs, firing, diagnostics)) {
        ADD_FAILURE() << (diagnostics.all().empty() ? "" : diagnostics.all()[0].message);
        return {};
    }
    const auto top = top_of(firing.schedule);
    NextTime next;
    next.top_c = firing.schedule.segments[top->climb].to_c;
    next.soak_s = top->soak ? *firing.schedule.segments[*top->soak].duration_s : 0;
    const NextEditResult result =
        next_edit(compilation.program(), firing, next, {.top_c = top_c, .soak_s = soak_s});
    if (!result.edit)
        return {result.why_not, "", 0, ""};
    Edited answer{result.edit->new_text, result.edit->inside, 0,
                  difference_of("mugs.fettle", source, result.edit->new_text)};
    texts.files["mugs.fettle"] = answer.text;
    Diagnostics again;
    const Compilation second({"mugs.fettle"}, texts, again, RulesAlwaysOn::off);
    CompiledFiring fired;
    EXPECT_TRUE(compile_firing(second.context(), second.find_firing("mugs"), fired, again))
        << answer.text;
    answer.peak_c = *Curve(fired.schedule).peak().value;
    return answer;
}

TEST(NextEdit, NumbersAreReplacedWhereTheyStand) {
    const Edited answer = edited("firing mugs {\n    phase top {\n        ramp to 1100C at 150C/h\n"
                                 "        ramp to 1212C at 60C/h  # the top\n        soak 15m\n"
                                 "    }\n}\n",
                                 1227, 720);
    EXPECT_NE(answer.text.find("ramp to 1227C at 60C/h  # the top\n        soak 12m\n"),
              std::string::npos)
        << answer.text;
    EXPECT_EQ(answer.peak_c, 1227);
    EXPECT_EQ(answer.inside, "");
    EXPECT_EQ(answer.difference, "--- mugs.fettle\n+++ mugs.fettle\n@@ -2,6 +2,6 @@\n"
                                 "     phase top {\n         ramp to 1100C at 150C/h\n"
                                 "-        ramp to 1212C at 60C/h  # the top\n"
                                 "-        soak 15m\n"
                                 "+        ramp to 1227C at 60C/h  # the top\n"
                                 "+        soak 12m\n     }\n }\n");
}

TEST(NextEdit, FahrenheitStaysFahrenheit) {
    const Edited answer = edited("firing mugs { phase top { ramp to 2214F at 60C/h } }\n", 1220, 0);
    EXPECT_NE(answer.text.find("ramp to 2228F at 60C/h"), std::string::npos) << answer.text;
}

TEST(NextEdit, AConeBecomesATemperatureAndASoak) {
    const Edited answer = edited("firing mugs {\n    phase top {\n"
                                 "        ramp to cone 6 at 60C/h with soak 15m\n    }\n}\n",
                                 1219, 600);
    EXPECT_NE(answer.text.find("        ramp to 1219C at 60C/h\n        soak 10m\n"),
              std::string::npos)
        << answer.text;
    EXPECT_EQ(answer.peak_c, 1219);
}

TEST(NextEdit, ASoakUntilAConeBecomesATime) {
    const Edited answer = edited("firing mugs {\n    phase top {\n        ramp to 1210C at 100C/h\n"
                                 "        soak until cone 6\n    }\n}\n",
                                 1214, 1200);
    EXPECT_NE(answer.text.find("        ramp to 1214C at 100C/h\n        soak 20m\n"),
              std::string::npos)
        << answer.text;
}

TEST(NextEdit, WhatAPhaseOfTheLibraryDoesIsWrittenOut) {
    const Edited answer =
        edited("use std.phases (approach_to_top)\n\ntemplate glost(top: Cone = cone 6) {\n"
               "    phase top {\n        vent closed\n"
               "        follow approach_to_top(top, fast: 180C/h, soak: 15m)\n    }\n}\n\n"
               "firing mugs = glost()\n",
               1201, 900);
    EXPECT_NE(answer.text.find("        vent closed\n        ramp to 1105C at 180C/h\n"
                               "        ramp to 1201C at 60C/h\n        soak 15m\n    }"),
              std::string::npos)
        << answer.text;
    EXPECT_EQ(answer.inside, "the template glost");
    EXPECT_EQ(answer.peak_c, 1201);
}

TEST(NextEdit, APhaseOfOnesOwnIsEditedInItself) {
    const Edited answer = edited("phase last(soak_time: Duration) {\n    ramp to 1212C at 60C/h\n"
                                 "    soak soak_time\n}\n\n"
                                 "firing mugs { phase top { follow last(15m) } }\n",
                                 1220, 600);
    EXPECT_NE(answer.text.find("    ramp to 1220C at 60C/h\n    soak 10m\n"), std::string::npos)
        << answer.text;
    EXPECT_EQ(answer.inside, "the phase last");
}

TEST(NextEdit, RefusesWhatItWouldGetWrong) {
    EXPECT_NE(
        edited("firing mugs { phase top { repeat 2 times { ramp by 600C at 60C/h } } }\n", 1220, 0)
            .text.find("several times"),
        std::string::npos);
    EXPECT_NE(edited("firing mugs { phase top { ramp by 1200C at 60C/h } }\n", 1220, 0)
                  .text.find("`by` so many degrees"),
              std::string::npos);
}

} // namespace
} // namespace fettle
