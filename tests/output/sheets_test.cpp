// The cards and sheets of the samples: what they say, and that no text of a firing can harm them.
// With FETTLE_SAMPLES set, the pages are left there for tests/output/check_pages.py.
#include "compiler/output/class_card.h"
#include "compiler/output/firing_card.h"
#include "compiler/output/keying_sheet.h"
#include "compiler/output/writing_sheet.h"
#include "tests/output/sample.h"

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <gtest/gtest.h>

namespace fettle {
namespace {

using Append = void (*)(std::string&, const FiringDocument&, const OutputOptions&);

struct Sheet {
    std::string_view name;
    Append append;
};
constexpr Sheet sheets[] = {{"card", append_firing_card},
                            {"class_card", append_class_card},
                            {"keying", append_keying_sheet},
                            {"writing", append_writing_sheet}};

std::string page(Append append, const FiringDocument& document, const OutputOptions& options = {}) {
    std::string html;
    append(html, document, options);
    return html;
}

bool has(std::string_view text, std::string_view part) {
    return text.find(part) != std::string_view::npos;
}

std::size_t count(std::string_view text, std::string_view part) {
    std::size_t found = 0;
    for (std::size_t at = text.find(part); at != std::string_view::npos;
         at = text.find(part, at + part.size())) {
        ++found;
    }
    return found;
}

// A document with what to expect, as the compiler would fill it.
sample::FiringPtr with_expectations() {
    sample::FiringPtr firing = sample::bisque();
    FiringDocument& document = firing->document;
    document.cones_expected = {{"05", true, 1030, 40000}, {"04", true, 1055, 42000}, {"03"}};
    document.interruptions = {
        {.kind = Interrupted::drying, .phase = 0, .from_c = 20, .to_c = 150},
        {.kind = Interrupted::red, .phase = 1, .from_c = 600, .to_c = 900},
        {.kind = Interrupted::near_top,
         .phase = 1,
         .from_c = 900,
         .to_c = 1055,
         .left = {{.reached_c = 1040,
                   .at_s = 41000,
                   .done = 0.25,
                   .rate_k_per_h = 60,
                   .climb_to_c = 1051,
                   .soak_s = 600}}},
        {.kind = Interrupted::cooling, .phase = 2, .from_c = 1055, .to_c = 50}};
    return firing;
}

sample::FiringPtr two_programs() {
    sample::FiringPtr firing = sample::with_steps(StepForm::rate_target_soak);
    Steps& steps = *firing->document.steps;
    StepProgram second = steps.programs[0];
    steps.programs[0].then = "mugs, part 2";
    steps.programs[0].between = "Start it at once: the kiln must not cool.";
    second.name = "mugs, part 2";
    steps.programs.push_back(second);
    steps.delay_s = 6 * 3600;
    steps.simplified = true;
    steps.programs[1].deviation_c = 4;
    steps.cones_off = 0.1;
    steps.most_costly = StepPlace{.program = 1, .row = 2, .why = "10C more is half a cone more"};
    return firing;
}

TEST(Sheets, AreLeftForTheBrowser) {
    const char* folder = std::getenv("FETTLE_SAMPLES");
    if (folder == nullptr) {
        GTEST_SKIP() << "FETTLE_SAMPLES is not set";
    }
    const OutputOptions evening{.scale = Scale::celsius, .start_clock_s = 22.5 * 3600};
    struct Named {
        std::string_view name;
        sample::FiringPtr firing;
    };
    Named all[] = {{"empty", sample::empty()},
                   {"bisque", with_expectations()},
                   {"reduction", sample::reduction_glaze()},
                   {"odd_texts", sample::odd_texts()},
                   {"durations", sample::with_steps(StepForm::duration_target)},
                   {"either", sample::with_steps(StepForm::rate_or_soak)},
                   {"two_programs", two_programs()},
                   {"many", sample::many_segments(120)}};
    for (const Named& named : all) {
        for (const Sheet& sheet : sheets) {
            const auto path =
                std::filesystem::path(folder) /
                ("page_" + std::string(named.name) + "." + std::string(sheet.name) + ".html");
            std::ofstream(path) << page(sheet.append, named.firing->document, evening);
            ASSERT_TRUE(std::filesystem::exists(path));
        }
    }
}

TEST(Sheets, EscapeWhateverATextHolds) {
    sample::FiringPtr firing = sample::odd_texts();
    const std::string title =
        "<script>alert(1)</script><img src=x onerror=alert(2)>\x1b[2J\xff\" ' & \u202E";
    firing->document.title = title;
    firing->document.confirms = {{title, title}};
    firing->document.kiln = {title, title};
    firing->document.cones_expected = {{title, true, 900, 3600}};
    for (const Sheet& sheet : sheets) {
        const std::string html = page(sheet.append, firing->document);
        EXPECT_FALSE(has(html, "<script")) << sheet.name;
        EXPECT_FALSE(has(html, "<img")) << sheet.name;
        EXPECT_FALSE(has(html, "\x1b")) << sheet.name;
        EXPECT_FALSE(has(html, "\xff")) << sheet.name;
        EXPECT_FALSE(has(html, "\u202E")) << sheet.name;
        EXPECT_TRUE(has(html, "&lt;script&gt;")) << sheet.name;
    }
}

TEST(Sheets, AskForNoOtherFileAndNoScript) {
    for (const Sheet& sheet : sheets) {
        const std::string html = page(sheet.append, sample::reduction_glaze()->document);
        for (std::string_view outside :
             {"http:", "https:", "url(", "@import", "<script", "<link"}) {
            EXPECT_FALSE(has(html, outside)) << sheet.name << ": " << outside;
        }
        EXPECT_TRUE(html.ends_with("</html>\n")) << sheet.name;
    }
}

TEST(Sheets, WarnInEveryCase) {
    for (const Sheet& sheet : sheets) {
        for (const sample::FiringPtr& firing : {sample::empty(), sample::bisque()}) {
            EXPECT_TRUE(
                has(page(sheet.append, firing->document), "Never leave a firing unattended"))
                << sheet.name;
        }
    }
}

TEST(FiringCard, HasARowForEverySegment) {
    const std::string html = page(append_firing_card, sample::many_segments(37)->document);
    EXPECT_EQ(count(html, "<td class=\"paper write\"></td><td class=\"paper write\"></td>"), 37u);
}

TEST(FiringCard, TellsTimesByTheClockWithTheDayWhenItChanges) {
    const auto firing = sample::bisque();
    EXPECT_TRUE(has(page(append_firing_card, firing->document), "+0:00"));
    const std::string html = page(append_firing_card, firing->document,
                                  {.scale = Scale::celsius, .start_clock_s = 22.5 * 3600});
    EXPECT_FALSE(has(html, "+0:00"));
    EXPECT_EQ(count(html, "<small>day 2</small>"), 1u);
}

TEST(FiringCard, SaysWhatToDoWhenThePowerFails) {
    const std::string html = page(append_firing_card, with_expectations()->document);
    for (std::string_view part :
         {"If the power fails", "Begin this phase again", "Never climb again", "25%", "1051C",
          "cone 04", "down near 1055C", "still stands at the end"}) {
        EXPECT_TRUE(has(html, part)) << part;
    }
}

TEST(FiringCard, AWaivedRuleIsShownWithItsReason) {
    const auto firing = sample::reduction_glaze();
    const std::string html = page(append_firing_card, firing->document);
    bool any = false;
    for (const Check& check : firing->document.checks) {
        if (check.result == CheckResult::waived) {
            EXPECT_TRUE(has(html, "because " + std::string(check.waiver)));
            any = true;
        }
    }
    EXPECT_TRUE(any);
}

TEST(KeyingSheet, EveryFormHasItsOwnColumnsInTheScaleOfItsController) {
    const std::string durations =
        page(append_keying_sheet, sample::with_steps(StepForm::duration_target)->document);
    EXPECT_TRUE(has(durations, "target <small>F</small>"));
    EXPECT_TRUE(has(durations, "time <small>h:min</small>"));
    EXPECT_FALSE(has(durations, "rate <small>"));
    const std::string rates =
        page(append_keying_sheet, sample::with_steps(StepForm::rate_target_soak)->document);
    EXPECT_TRUE(has(rates, "rate <small>F/h</small>"));
    EXPECT_TRUE(has(rates, "soak <small>h:min</small>"));
}

TEST(KeyingSheet, HasTwoBoxesForEveryStep) {
    const auto firing = sample::with_steps(StepForm::rate_or_soak);
    const std::size_t steps = firing->document.steps->programs[0].rows.size();
    EXPECT_EQ(count(page(append_keying_sheet, firing->document),
                    "<td class=\"tick\"><span class=\"box\"></span></td>"),
              2 * steps);
}

TEST(KeyingSheet, TellsDelayPartsAndTheStepThatCostsMost) {
    const std::string html = page(append_keying_sheet, two_programs()->document);
    for (std::string_view part :
         {"Delay before the first step: <b>6:00</b>", "Part 2 of 2: mugs, part 2",
          "Then mugs, part 2.", "the kiln must not cool", "check twice",
          "10C more is half a cone more", "fewer steps than the firing asks for"}) {
        EXPECT_TRUE(has(html, part)) << part;
    }
    EXPECT_EQ(count(html, "<tr class=\"costly\">"), 1u);
}

TEST(KeyingSheet, WithoutAControllerItSaysSo) {
    EXPECT_TRUE(has(page(append_keying_sheet, sample::bisque()->document), "nothing to key"));
}

TEST(WritingSheet, HasARowEveryTenMinutesOfKnownTime) {
    sample::FiringPtr firing = sample::empty();
    firing->phase("up");
    firing->ramp(220, 100); // two hours
    const std::string html = page(append_writing_sheet, firing->document);
    EXPECT_EQ(count(html, "<tr><th scope=\"row\">+"), 13u);
    EXPECT_TRUE(has(html, ">+1:00</th><td class=\"n\"><b>120C</b>"));
}

TEST(WritingSheet, JobsStandWhereTheirTimeIs) {
    sample::FiringPtr firing = sample::empty();
    firing->phase("up");
    firing->ramp(220, 100);
    firing->soak(60).jobs = {"Push the damper in"};
    const std::string html = page(append_writing_sheet, firing->document);
    const std::size_t job = html.find("<b>+2:00</b> <span dir=\"auto\">Push the damper in");
    ASSERT_NE(job, std::string::npos);
    EXPECT_LT(html.find(">+1:50</th>"), job);
    EXPECT_GT(html.find(">+2:10</th>"), job);
}

TEST(ClassCard, SaysWhatEachPhaseIsFor) {
    sample::FiringPtr firing = sample::bisque();
    firing->schedule.phases[0].about = "Water leaves before it can boil.";
    firing->document.checks = {{.rule = "quartz_rise",
                                .title = "Cross the inversion slowly",
                                .because = "Quartz grows all at once."}};
    const std::string html = page(append_class_card, firing->document);
    EXPECT_TRUE(has(html, "Water leaves before it can boil."));
    EXPECT_TRUE(has(html, "Cross the inversion slowly"));
    EXPECT_TRUE(has(html, "Quartz grows all at once."));
}

} // namespace
} // namespace fettle
