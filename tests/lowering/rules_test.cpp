// Rules on the finished curve: known, unknown, waived.
#include "tests/language/programs.h"

#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

namespace fettle {
namespace {

std::string rule(const std::string& parts, const std::string& name = "tried",
                 const std::string& level = "caution") {
    return "rule " + name + " \"A rule\" {\n    level " + level + "\n" + parts +
           "\n    because \"so\"\n    source \"common practice\"\n}\n";
}

// A body that says little and ware of 6mm.
std::string firing(const std::string& settings = "",
                   const std::string& steps = "ramp to 600C at 100C/h") {
    return "body clay {\n    free_quartz 5%\n}\nfiring mugs {\n    body clay\n"
           "    ware { thickness 6mm }\n" +
           settings + "\n    phase only {\n        " + steps + "\n    }\n}\n";
}

// The result of the only check.
nlohmann::json only_check(const std::string& text) {
    const Checked checked = check_text(text);
    if (checked.documents.empty())
        return said(checked);
    const auto document = nlohmann::json::parse(checked.documents.at(0));
    EXPECT_EQ(document["checks"].size(), 1u) << document["checks"];
    return document["checks"].empty() ? nlohmann::json() : document["checks"][0];
}

std::string result_of(const std::string& condition) {
    const auto check = only_check(rule("    check " + condition) + firing());
    return check.is_object() ? check["result"].get<std::string>() : check.dump();
}

TEST(Rules, three_valued_logic) {
    const std::string yes = "ware.thickness is 6mm", no = "ware.thickness is 7mm",
                      unknown = "body.moisture > 1%";
    EXPECT_EQ(result_of(yes), "holds");
    EXPECT_EQ(result_of(no), "broken");
    EXPECT_EQ(result_of(unknown), "unknown");
    EXPECT_EQ(result_of(no + " and " + unknown), "broken");
    EXPECT_EQ(result_of(unknown + " and " + no), "broken");
    EXPECT_EQ(result_of(yes + " and " + unknown), "unknown");
    EXPECT_EQ(result_of(yes + " or " + unknown), "holds");
    EXPECT_EQ(result_of(unknown + " or " + yes), "holds");
    EXPECT_EQ(result_of(no + " or " + unknown), "unknown");
    EXPECT_EQ(result_of("not (" + unknown + ")"), "unknown");
    EXPECT_EQ(result_of("body.moisture is 1%"), "unknown");
    EXPECT_EQ(result_of("body.moisture + 1% > 0%"), "unknown");
    EXPECT_EQ(result_of("(" + yes + ") when " + unknown + " otherwise (" + no + ")"), "unknown");
    EXPECT_EQ(result_of("kiln.ceiling > 1000C"), "unknown"); // there is no kiln at all
}

// "36m here, but it takes at least 36m" would help nobody.
TEST(Rules, values_that_differ_by_little_are_told_apart) {
    const auto message = [](const std::string& condition) {
        return said(check_text(rule("    check " + condition) + firing()));
    };
    EXPECT_NE(message("duration >= 5h48m1s").find("5h48m here, but it takes at least 5h48m1s"),
              std::string::npos)
        << message("duration >= 5h48m1s");
    EXPECT_NE(message("peak <= 599.99C").find("600C here, but at most 599.99C is allowed"),
              std::string::npos)
        << message("peak <= 599.99C");
    EXPECT_NE(message("duration >= 6h10s").find("5h48m here, but it takes at least 6h"),
              std::string::npos)
        << message("duration >= 6h10s");
}

TEST(Rules, unknown_names_the_field) {
    const Checked checked = check_text(rule("    check body.moisture < 2%") + firing());
    ASSERT_EQ(checked.diagnostics.all().size(), 1u) << said(checked);
    const Diagnostic& advice = checked.diagnostics.all()[0];
    EXPECT_EQ(advice.kind, DiagnosticKind::unchecked_rules);
    ASSERT_EQ(advice.notes.size(), 1u);
    EXPECT_EQ(advice.notes[0].text, "not known: `moisture` of clay (for tried)");
}

TEST(Rules, applies_when) {
    EXPECT_EQ(only_check(rule("    applies when body.free_quartz >= 5%\n    check peak < 500C") +
                         firing())["result"],
              "broken");
    EXPECT_EQ(only_check(rule("    applies when body.free_quartz > 5%\n    check peak < 500C") +
                         firing())["result"],
              "not_applicable");
    EXPECT_EQ(only_check(rule("    applies when body.moisture > 5%\n    check peak < 500C") +
                         firing())["result"],
              "unknown");
}

TEST(Rules, values_and_segments_of_a_broken_check) {
    const auto check = only_check(
        rule("    check fastest_rise(540C, 630C) <= 80C/h") +
        firing("", "ramp to 500C at 150C/h; ramp to 600C at 90C/h; ramp to 700C at 100C/h"));
    EXPECT_EQ(check["rule"], "tried");
    EXPECT_EQ(check["level"], "caution");
    EXPECT_EQ(check["found"], 100);
    EXPECT_EQ(check["allowed"], 80);
    EXPECT_EQ(check["unit"], "C/h");
    EXPECT_EQ(check["segments"].size(), 1u) << check;
}

TEST(Rules, levels_decide_what_is_written) {
    const std::string broken = "    check peak < 500C";
    EXPECT_EQ(check_text(rule(broken, "a", "advice") + firing()).documents.size(), 1u);
    EXPECT_EQ(check_text(rule(broken, "a", "caution") + firing()).documents.size(), 1u);
    const Checked error = check_text(rule(broken, "a", "error") + firing());
    EXPECT_EQ(error.documents.size(), 0u);
    EXPECT_EQ(error.diagnostics.count(Level::error), 1u);
}

TEST(Rules, a_waiver_lets_it_pass_and_is_shown) {
    const auto check = only_check(rule("    check peak < 500C", "cool_one", "error") +
                                  firing("    allow cool_one because \"A trial\""));
    ASSERT_TRUE(check.is_object()) << check;
    EXPECT_EQ(check["result"], "waived");
    EXPECT_EQ(check["waiver"], "A trial");
}

TEST(Rules, some_cannot_be_waived) {
    const Checked checked =
        check_text(rule("    check peak < 500C\n    waivable no", "cool_one", "error") +
                   firing("    allow cool_one because \"A trial\""));
    EXPECT_EQ(checked.documents.size(), 0u);
    ASSERT_EQ(checked.diagnostics.all().size(), 1u) << said(checked);
    EXPECT_EQ(checked.diagnostics.all()[0].notes.back().text, "this rule can't be waived");
}

TEST(Rules, a_waiver_in_a_template_holds_for_its_firings) {
    const Checked checked = check_text(rule("    check peak < 500C", "cool_one", "error") + R"(
template hot(top: Temperature) {
    allow cool_one because "It is made for this"
    phase only {
        ramp to top at 100C/h
    }
}
firing one = hot(600C)
firing two = hot(700C)
firing needs_none = hot(400C)
)");
    EXPECT_EQ(checked.documents.size(), 3u) << said(checked);
    EXPECT_EQ(said(checked), "");
}

TEST(Rules, each_group_of_a_load_is_looked_at) {
    const Checked checked = check_text(rule("    check ware.thickness <= 10mm") + R"(
firing mixed {
    load {
        ware mugs { thickness 6mm }
        ware slabs { thickness 18mm }
    }
    phase only {
        ramp to 600C at 100C/h
    }
}
)");
    ASSERT_EQ(checked.documents.size(), 1u) << said(checked);
    const auto checks = nlohmann::json::parse(checked.documents[0])["checks"];
    ASSERT_EQ(checks.size(), 2u);
    EXPECT_EQ(checks[0]["group"], "mugs");
    EXPECT_EQ(checks[0]["result"], "holds");
    EXPECT_EQ(checks[1]["group"], "slabs");
    EXPECT_EQ(checks[1]["result"], "broken");
}

TEST(Rules, rules_of_modules_that_are_used) {
    const std::string strict = rule("    check peak < 500C", "strict");
    const auto with = [&](const std::string& use) {
        const Checked checked({{"mugs.fettle", use + firing()}, {"shop.fettle", strict}});
        return checked.diagnostics.count(Level::caution);
    };
    EXPECT_EQ(with("use shop\n"), 1u);
    EXPECT_EQ(with("use shop (strict)\n"), 1u);
    EXPECT_EQ(with(""), 0u);
}

TEST(Rules, rules_of_the_file_of_a_template) {
    const Checked checked({{"mugs.fettle", "use shop (hot)\nfiring mugs = hot(600C)\n"},
                           {"shop.fettle", rule("    check peak < 500C", "strict") +
                                               "template hot(top: Temperature) {\n"
                                               "    phase only {\n        ramp to top at 100C/h\n"
                                               "    }\n}\n"}});
    EXPECT_EQ(checked.diagnostics.count(Level::caution), 1u) << said(checked);
}

TEST(Rules, unknown_and_waived_do_not_count_as_kept) {
    const std::string test = "test \"kept\" {\n    expect mugs keeps every rule\n}\n";
    EXPECT_EQ(
        check_text(rule("    check peak < 700C") + firing() + test).diagnostics.count(Level::error),
        0u);
    EXPECT_EQ(check_text(rule("    check body.moisture < 2%") + firing() + test)
                  .diagnostics.count(Level::error),
              1u);
    EXPECT_EQ(check_text(rule("    check peak < 500C") +
                         firing("    allow tried because \"A trial\"") + test)
                  .diagnostics.count(Level::error),
              1u);
}

TEST(Rules, limits_are_rules) {
    const auto check = only_check("kiln loft {\n    limit rise 80C/h between 540C and 630C\n}\n" +
                                  firing("    kiln loft\n    allow kiln_limit because \"Empty\""));
    ASSERT_TRUE(check.is_object()) << check;
    EXPECT_EQ(check["rule"], "kiln_limit");
    EXPECT_EQ(check["result"], "waived");
    EXPECT_EQ(check["found"], 100);
    EXPECT_EQ(check["allowed"], 80);
}

TEST(Rules, two_limits_broken_in_one_step_are_two_messages) {
    const Checked checked = check_text(R"(
body clay {
    limit rise 150C/h between 540C and 630C
    limit rise 100C/h between 100C and 200C
}
firing mugs {
    body clay
    phase only {
        ramp to 900C at 160C/h
    }
}
)");
    EXPECT_EQ(checked.diagnostics.count(Level::error), 2u) << said(checked);
}

TEST(Rules, the_step_at_fault_is_marked_even_on_a_shared_line) {
    const std::string steps = "ramp to 500C at 50C/h; ramp to 600C at 200C/h";
    const std::string text =
        rule("    check fastest_rise(20C, 600C) <= 100C/h") + firing("", steps);
    const Checked checked = check_text(text);
    ASSERT_EQ(checked.diagnostics.all().size(), 1u) << said(checked);
    EXPECT_EQ(checked.compilation->sources().text(checked.diagnostics.all()[0].span),
              "ramp to 600C at 200C/h");
}

} // namespace
} // namespace fettle
