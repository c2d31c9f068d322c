// Firings worked out: templates, phases, choices, repeats, loads, hand controls.
#include "tests/language/programs.h"

#include <fmt/format.h>
#include <gtest/gtest.h>

namespace fettle {
namespace {

// The ends of all segments of the last firing, or what is said.
std::string targets(const std::string& text) {
    const Checked checked = check_text(text);
    if (checked.schedules.empty())
        return said(checked);
    std::string all;
    for (const Segment& segment : checked.schedules.back().segments)
        all += fmt::format("{}{}{}", all.empty() ? "" : " ", segment.to_c,
                           segment.kind == SegmentKind::soak ? "s" : "");
    return all;
}

std::string in_phase(const std::string& steps) {
    return targets("firing mugs {\n    phase bisque {\n" + steps + "\n    }\n}\n");
}

TEST(Firings, steps_one_after_the_other) {
    EXPECT_EQ(in_phase("ramp to 600C at 100C/h; soak 20m; cool to 100C freely"), "600 600s 100");
    EXPECT_EQ(in_phase("ramp by 80dC at 60C/h; ramp by 80C at 60C/h"), "100 180");
    EXPECT_EQ(in_phase("ramp to 600C over 6h; cool by 50dC over 1h"), "600 550");
}

TEST(Firings, repeat) {
    EXPECT_EQ(in_phase("repeat 3 times { ramp by 10dC at 60C/h; soak 5m }"),
              "30 30s 40 40s 50 50s");
    EXPECT_EQ(in_phase("repeat 2 times { repeat 2 times { ramp by 10dC at 60C/h } }"),
              "30 40 50 60");
    EXPECT_EQ(in_phase("let n = 1\nrepeat n times { soak 5m }"), "20s");
    EXPECT_EQ(in_phase("repeat 0 times { soak 5m }"),
              "error[bad-count]: one can't repeat 0 times; counts are whole and start at 1\n");
    EXPECT_EQ(in_phase("repeat 1001 times { soak 5m }"),
              "error[bad-count]: 1001 times is more than the 1000 that a `repeat` may have\n");
}

TEST(Firings, for_each) {
    EXPECT_EQ(in_phase("for each t in [100C, 200C, 300C] { ramp to t at 60C/h }"), "100 200 300");
    EXPECT_EQ(in_phase("for each t in [100C, 200C] {\n let next = t + 50dC\n ramp to next at 60C/h "
                       "}"),
              "150 250");
    EXPECT_EQ(in_phase("for each t in [200F, 400F] { ramp to t at 60C/h }").substr(0, 5), "93.33");
}

TEST(Firings, when_chooses_one) {
    const auto choose = [](const std::string& wall) {
        return targets("template t(wall: Length) {\n    phase p {\n"
                       "        when wall <= 6mm { ramp to 100C at 60C/h }\n"
                       "        otherwise when wall <= 12mm { ramp to 200C at 60C/h }\n"
                       "        otherwise { ramp to 300C at 60C/h }\n    }\n}\n"
                       "firing mugs = t(wall: " +
                       wall + ")\n");
    };
    EXPECT_EQ(choose("6mm"), "100");
    EXPECT_EQ(choose("12mm"), "200");
    EXPECT_EQ(choose("12.1mm"), "300");
}

constexpr std::string_view nested_phases = R"(phase innermost(goal: Temperature) {
    ramp to goal at 60C/h
}
phase middle(goal: Temperature = 100C) {
    follow innermost(goal)
    follow innermost(goal + 50dC)
}
template t() {
    phase p {
        follow middle
        repeat 1 times {
            follow middle(200C)
        }
    }
}
firing mugs = t()
)";

TEST(Firings, followed_phases_keep_the_trail_of_lines) {
    const Checked checked = check_text(std::string(nested_phases));
    ASSERT_EQ(checked.schedules.size(), 1u) << said(checked);
    const auto& segments = checked.schedules[0].segments;
    ASSERT_EQ(segments.size(), 4u);
    const auto lines = [&](std::size_t i) {
        std::string all;
        for (const Origin& origin : segments[i].trail)
            all += fmt::format("{} ", origin.line);
        return all;
    };
    // Innermost first: the step, the lines that followed, the firing.
    EXPECT_EQ(lines(0), "2 5 10 16 ");
    EXPECT_EQ(lines(1), "2 6 10 16 ");
    EXPECT_EQ(lines(2), "2 5 12 16 ");
    EXPECT_EQ(lines(3), "2 6 12 16 ");
    EXPECT_DOUBLE_EQ(segments[3].to_c, 250);
}

TEST(Firings, a_fault_inside_shows_the_way_there) {
    std::string text(nested_phases);
    text.replace(text.find("200C"), 4, "90C ");
    const Checked checked = check_text(text);
    ASSERT_EQ(checked.diagnostics.all().size(), 1u) << said(checked);
    const Diagnostic& wrong = checked.diagnostics.all()[0];
    EXPECT_EQ(wrong.kind, DiagnosticKind::wrong_direction);
    std::vector<std::string> notes;
    for (const Note& note : wrong.notes)
        notes.push_back(note.text);
    const std::vector<std::string> expected = {"followed from here", "followed from here",
                                               "in the firing mugs"};
    ASSERT_GE(notes.size(), 3u);
    EXPECT_EQ(std::vector<std::string>(notes.begin(), notes.begin() + 3), expected);
}

TEST(Firings, arguments_and_defaults_of_templates) {
    const std::string text = R"(
template t(wall: Length, rate: Rate = 100C/h when wall <= 10mm otherwise 60C/h) {
    phase p {
        ramp to 100C at rate
    }
}
)";
    const auto seconds = [&](const std::string& call) {
        const Checked checked = check_text(text + "firing mugs = " + call + "\n");
        return checked.schedules.empty() ? -1 : *checked.schedules[0].segments[0].duration_s;
    };
    EXPECT_DOUBLE_EQ(seconds("t(6mm)"), 2880);
    EXPECT_DOUBLE_EQ(seconds("t(12mm)"), 4800);
    EXPECT_DOUBLE_EQ(seconds("t(12mm, 80C/h)"), 3600);
    EXPECT_DOUBLE_EQ(seconds("t(rate: 80C/h, wall: 12mm)"), 3600);
}

TEST(Firings, a_requirement_tells_its_reason_and_the_values) {
    const Checked checked = check_text(R"(
template t(wall: Length, most: Length = 40mm) {
    require wall <= most else "Above {most} dry and fire by trial"
    phase p {
        ramp to 100C at 60C/h
    }
}
firing slab = t(wall: 55mm)
)");
    ASSERT_EQ(checked.diagnostics.all().size(), 1u) << said(checked);
    const Diagnostic& failed = checked.diagnostics.all()[0];
    EXPECT_EQ(failed.message, "slab can't be fired like this: Above 40mm dry and fire by trial");
    std::string notes;
    for (const Note& note : failed.notes)
        notes += note.text + "\n";
    EXPECT_EQ(notes, "in the firing slab\nwall is 55mm\nmost is 40mm\n");
}

TEST(Firings, requirements_may_stand_in_phases) {
    const std::string phases = R"(
phase smoke(wall: Length) {
    require wall <= 20mm else "Too thick to smoke"
    ramp to 100C at 60C/h
}
firing mugs {
    phase p {
        follow smoke()
    }
}
)";
    const auto with = [&](const std::string& wall) {
        std::string text = phases;
        text.insert(text.find("smoke()") + 6, wall);
        return said(check_text(text));
    };
    EXPECT_EQ(with("20mm"), "");
    EXPECT_EQ(with("21mm"),
              "error[requirement-failed]: mugs can't be fired like this: Too thick to smoke\n");
}

// --- loads ---

constexpr std::string_view two_bodies = "body grey {\n    thickness 8mm\n    moisture 1%\n}\n"
                                        "body red {\n}\n";

TEST(Firings, a_load_has_groups) {
    const Checked checked = check_text(std::string(two_bodies) + R"(
firing mixed {
    load {
        ware mugs { body grey; mass 12kg }
        ware tiles { body red; thickness 18mm }
    }
    phase p {
        ramp to 100C at 60C/h
    }
}
)");
    ASSERT_EQ(checked.documents.size(), 1u) << said(checked);
    const std::string& document = checked.documents[0];
    EXPECT_NE(document.find("\"thickness_mm\": 8"), std::string::npos) << document;
    EXPECT_NE(document.find("\"thickness_mm\": 18"), std::string::npos);
    EXPECT_NE(document.find("\"mass_kg\": 12"), std::string::npos);
}

TEST(Firings, two_values_for_one_slot_are_both_named) {
    const std::string text = std::string(two_bodies) + R"(
template t(thickness: Length) {
    phase p {
        ramp to 100C at 60C/h
    }
}
firing mixed = t(thickness: 6mm) {
    load {
        ware mugs { body grey }
        ware tiles { body red; thickness 18mm }
    }
}
)";
    const Checked checked = check_text(text);
    EXPECT_EQ(said(checked),
              "error[slot-twice]: two values are given for the thickness of the ware: 18mm and "
              "6mm\n");
    std::string agreeing = text;
    agreeing.replace(agreeing.find("18mm"), 4, "6mm");
    EXPECT_EQ(said(check_text(agreeing)), "");
}

TEST(Firings, two_parameters_for_one_slot) {
    EXPECT_EQ(said(check_text("template t(clay: Body, glaze_clay: Body) {\n    phase p {\n"
                              "        soak 1m\n    }\n}\n")),
              "error[slot-twice]: `clay` and `glaze_clay` would both be the body of the firing\n");
}

// --- hand controls ---

std::string set_step(const std::string& step) {
    const Checked checked = check_text(R"(
kiln yard {
    control damper one of shut, half, open
    control gas Pressure
}
firing mugs {
    let low = 2kPa
    kiln yard
    phase p {
        )" + step + R"(
        ramp to 100C at 60C/h
        ramp to 200C at (60C/h when low > 1kPa otherwise 50C/h)
    }
}
)");
    if (checked.schedules.empty())
        return said(checked);
    std::string all;
    for (const Segment& segment : checked.schedules[0].segments) {
        const KilnState& state = checked.schedules[0].states[segment.state];
        for (const ControlSetting& setting : state.settings)
            all += fmt::format("{} {};", setting.control, setting.value);
    }
    return all;
}

TEST(Firings, hand_controls_hold_until_changed) {
    EXPECT_EQ(set_step("set damper half"), "damper half;damper half;");
    EXPECT_EQ(set_step("set gas 2kPa"), "gas 2kPa;gas 2kPa;");
    EXPECT_EQ(set_step("set gas (low)"), "gas 2kPa;gas 2kPa;");
    EXPECT_EQ(set_step("set damper half; set gas 2kPa"),
              "damper half;gas 2kPa;damper half;gas 2kPa;");
}

TEST(Firings, hand_controls_take_what_the_kiln_says) {
    EXPECT_EQ(set_step("set dampr half"),
              "error[unknown-control]: the kiln yard has no control `dampr`\n");
    EXPECT_NE(set_step("set damper wide").find("error[unknown-choice]"), std::string::npos);
    EXPECT_NE(set_step("set gas 20m").find("error[wrong-type]"), std::string::npos);
    EXPECT_NE(set_step("set gas half").find("error[wrong-type]"), std::string::npos);
}

TEST(Firings, settings_of_the_firing) {
    const Checked checked = check_text(R"(
firing mugs {
    start at 35C
    start after 2h
    confirm "Bone dry" by "the person who loads"
    phase p {
        ramp to 100C at 60C/h
    }
}
)");
    ASSERT_EQ(checked.schedules.size(), 1u) << said(checked);
    EXPECT_DOUBLE_EQ(checked.schedules[0].start_c, 35);
    EXPECT_DOUBLE_EQ(checked.schedules[0].delay_s, 7200);
    EXPECT_NE(checked.documents[0].find("the person who loads"), std::string::npos);
}

} // namespace
} // namespace fettle
