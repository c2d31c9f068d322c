// `fettle check`, `fettle test` and what all commands share: inputs, reports, exit codes.
#include "tests/cli/program.h"

#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

namespace fettle::cli_test {
namespace {

constexpr const char* two_mistakes = "firing a { phase up { ramp to 600 at 100C/h } }\n"
                                     "firing b { phase up { ramp to 600C at 100Q/h } }\n";

TEST(check, a_sound_file_ends_with_0_and_writes_nothing) {
    const Folder folder;
    folder.write("mugs.fettle", mugs);
    const Ended ended = run(folder, {"check", "mugs.fettle"});
    EXPECT_EQ(ended.code, 0);
    EXPECT_EQ(ended.err, "");
    EXPECT_EQ(folder.list(), std::vector<std::string>{"mugs.fettle"});
}

TEST(check, every_mistake_is_told_in_one_run_and_ends_with_1) {
    const Folder folder;
    folder.write("two.fettle", two_mistakes);
    const Ended ended = run(folder, {"check", "two.fettle"});
    EXPECT_EQ(ended.code, 1);
    EXPECT_TRUE(has(ended.out, "error[missing-unit]"));
    EXPECT_TRUE(has(ended.out, "error[unknown-unit]"));
    EXPECT_TRUE(has(ended.out, "two.fettle:1:31"));
    EXPECT_TRUE(has(ended.out, "\n2 errors\n"));
    EXPECT_EQ(ended.err, "");
}

TEST(check, cautions_and_advice_end_with_0) {
    const Folder folder;
    folder.write("a.fettle", "let unused = 3\n" + firing("a"));
    const Ended ended = run(folder, {"check", "a.fettle"});
    EXPECT_EQ(ended.code, 0);
    EXPECT_TRUE(has(ended.out, "advice["));
    EXPECT_EQ(run(folder, {"check", "a.fettle", "--quiet"}).out, "");
}

TEST(check, quiet_still_tells_errors) {
    const Folder folder;
    folder.write("two.fettle", two_mistakes);
    const Ended ended = run(folder, {"check", "--quiet", "two.fettle"});
    EXPECT_EQ(ended.code, 1);
    EXPECT_TRUE(has(ended.out, "2 errors"));
}

TEST(check, report_as_json) {
    const Folder folder;
    folder.write("two.fettle", two_mistakes);
    const Ended ended = run(folder, {"check", "two.fettle", "--report", "json"});
    EXPECT_EQ(ended.code, 1);
    EXPECT_EQ(ended.err, "");
    const auto report = nlohmann::json::parse(ended.out);
    EXPECT_EQ(report.at("format"), "fettle.report");
    EXPECT_EQ(report.at("diagnostics").size(), 2u);
    EXPECT_EQ(report.at("diagnostics").at(0).at("name"), "missing-unit");
}

TEST(check, report_as_sarif_with_explanations) {
    const Folder folder;
    folder.write("two.fettle", two_mistakes);
    const Ended ended = run(folder, {"check", "two.fettle", "--report=sarif"});
    EXPECT_EQ(ended.code, 1);
    const auto run_of_tool = nlohmann::json::parse(ended.out).at("runs").at(0);
    EXPECT_EQ(run_of_tool.at("results").size(), 2u);
    EXPECT_EQ(run_of_tool.at("results").at(0).at("ruleId"), "missing-unit");
    EXPECT_TRUE(has(run_of_tool.dump(), "every quantity in Fettle carries its unit"));
}

TEST(check, a_report_for_programs_is_whole_even_where_no_file_is) {
    const Folder folder;
    for (const char* form : {"json", "sarif"}) {
        const Ended ended = run(folder, {"check", "none.fettle", "--report", form});
        EXPECT_EQ(ended.code, 3);
        EXPECT_TRUE(nlohmann::json::accept(ended.out)) << ended.out;
        EXPECT_TRUE(has(ended.out, "file-not-found"));
    }
}

TEST(check, no_colour_where_there_is_no_terminal) {
    const Folder folder;
    folder.write("two.fettle", two_mistakes);
    EXPECT_TRUE(lacks(run(folder, {"check", "two.fettle"}).out, "\x1b"));
    EXPECT_TRUE(has(run_on_terminal(folder, {"check", "two.fettle"}).out, "\x1b["));
    EXPECT_TRUE(
        lacks(run_on_terminal(folder, {"check", "two.fettle"}, {.environment = {"NO_COLOR=1"}}).out,
              "\x1b"));
    EXPECT_TRUE(
        lacks(run_on_terminal(folder, {"check", "two.fettle"}, {.environment = {"TERM=dumb"}}).out,
              "\x1b"));
}

TEST(check, verbose_tells_what_is_done_on_stderr_only) {
    const Folder folder;
    folder.write("mugs.fettle", mugs);
    const Ended plain = run(folder, {"check", "mugs.fettle"});
    const Ended verbose = run(folder, {"check", "mugs.fettle", "--verbose"});
    EXPECT_EQ(verbose.out, plain.out);
    EXPECT_TRUE(has(verbose.err, "compiling 1 firing"));
}

// --- inputs ---

TEST(inputs, a_folder_is_one_program_without_its_hidden_folders) {
    const Folder folder;
    folder.write("studio/b.fettle", firing("b"));
    folder.write("studio/deep/er/a.fettle", firing("a"));
    folder.write("studio/.hidden/c.fettle", "not a firing at all");
    folder.write("studio/notes.txt", "not a firing at all");
    folder.write("studio/.fettle", "not a firing at all");
    const Ended ended = run(folder, {"build", "studio", "--into", "-", "--as", "json", "-q"});
    EXPECT_EQ(ended.code, 0);
    const std::size_t b = ended.out.find("\"name\":\"b\"");
    const std::size_t a = ended.out.find("\"name\":\"a\"");
    EXPECT_NE(a, std::string::npos);
    EXPECT_LT(b, a); // in the order of the paths
}

TEST(inputs, a_loop_of_links_does_not_hang) {
    const Folder folder;
    folder.write("studio/a.fettle", firing("a"));
    std::filesystem::create_directory_symlink(".", folder.path("studio/again"));
    EXPECT_EQ(run(folder, {"check", "studio"}).code, 0);
}

TEST(inputs, one_file_under_several_names_is_read_once) {
    const Folder folder;
    folder.write("studio/mugs.fettle", mugs);
    const std::string whole = folder.path("studio/mugs.fettle").string();
    const Ended ended =
        run(folder, {"build", "studio", "./studio/mugs.fettle", "studio//mugs.fettle",
                     "studio/../studio/mugs.fettle", whole, "-q"});
    EXPECT_EQ(ended.code, 0) << ended.err;
    EXPECT_EQ(folder.list("out").size(), 2u);
}

TEST(inputs, outputs_and_messages_never_carry_an_absolute_path) {
    const Folder folder;
    folder.write("studio/mugs.fettle", mugs);
    folder.write("elsewhere/two.fettle", two_mistakes);
    const std::string here = folder.path("studio/mugs.fettle").string();
    const Ended json = run(folder, {"build", here, "--into", "-", "--as", "json"});
    EXPECT_TRUE(has(json.out, "\"studio/mugs.fettle\""));
    EXPECT_TRUE(lacks(json.out + json.err, folder.path().string()));
}

TEST(inputs, one_firing_by_its_name) {
    const Folder folder;
    folder.write("class.fettle", class_day);
    EXPECT_EQ(run(folder, {"build", "class.fettle:thick"}).code, 0);
    EXPECT_EQ(folder.list("out"), (std::vector<std::string>{"thick.csv", "thick.json"}));
}

TEST(inputs, a_name_that_is_hidden_by_a_mistake_is_not_called_unknown) {
    const Folder folder;
    folder.write("a.fettle", "firing a { phase up { ramp to 600 at 100C/h } }\n");
    const Ended ended = run(folder, {"check", "a.fettle:a"});
    EXPECT_EQ(ended.code, 1);
    EXPECT_TRUE(has(ended.out, "missing-unit"));
    EXPECT_EQ(ended.err, "");
}

TEST(inputs, a_colon_may_be_part_of_a_file_name) {
    const Folder folder;
    folder.write("a:b.fettle", firing("a"));
    EXPECT_EQ(run(folder, {"check", "a:b.fettle"}).code, 0);
    EXPECT_EQ(run(folder, {"check", "a:b.fettle:a"}).code, 0);
}

TEST(inputs, standard_input) {
    const Folder folder;
    const Ended good = run(folder, {"check", "-"}, {.input = std::string(mugs)});
    EXPECT_EQ(good.code, 0);
    const Ended bad = run(folder, {"check", "-"}, {.input = two_mistakes});
    EXPECT_EQ(bad.code, 1);
    EXPECT_TRUE(has(bad.out, "<stdin>:1:31"));
    const Ended one =
        run(folder, {"build", "-:thin", "--into=-", "--as=csv"}, {.input = std::string(class_day)});
    EXPECT_EQ(one.code, 0);
    EXPECT_TRUE(has(one.out, "target_c"));
}

TEST(inputs, modules_beside_the_file_are_found) {
    const Folder folder;
    folder.write("studio/shared.fettle", "phase up { ramp to 900C at 100C/h }\n");
    folder.write("studio/a.fettle", "use shared (up)\nfiring a { phase x { follow up } }\n");
    EXPECT_EQ(run(folder, {"check", "studio/a.fettle"}).code, 0);
    folder.write("studio/b.fettle", "use sharde (up)\nfiring a { phase x { follow up } }\n");
    const Ended ended = run(folder, {"check", "studio/b.fettle"});
    EXPECT_EQ(ended.code, 1);
    EXPECT_TRUE(has(ended.out, "unknown-module"));
}

TEST(inputs, two_options_and_files_stand_in_any_order) {
    const Folder folder;
    folder.write("a.fettle", firing("a"));
    folder.write("b.fettle", firing("b"));
    EXPECT_EQ(
        run(folder, {"build", "-q", "a.fettle", "--into", "x", "b.fettle", "--as", "csv"}).code, 0);
    EXPECT_EQ(folder.list("x"), (std::vector<std::string>{"a.csv", "b.csv"}));
}

// --- stages ---

TEST(dump, every_stage_prints_what_it_hands_on) {
    const Folder folder;
    folder.write("mugs.fettle",
                 "let longest = 2h\nbody clay { thickness 8mm }\n" + std::string(mugs));
    const Ended tree = run(folder, {"check", "mugs.fettle", "--dump", "tree"});
    EXPECT_TRUE(has(tree.out, "firing"));
    EXPECT_TRUE(has(tree.out, "quantity `80C`"));
    const Ended program = run(folder, {"check", "mugs.fettle", "--dump", "program"});
    EXPECT_TRUE(has(program.out, "constant longest: a duration = 2h"));
    EXPECT_TRUE(has(program.out, "thickness 8mm"));
    const Ended schedule = run(folder, {"build", "mugs.fettle", "--dump", "schedule"});
    EXPECT_TRUE(has(schedule.out, "0 drying ramp from 20C to 80C duration 3600s rate 60C/h"));
    EXPECT_TRUE(has(schedule.out, "mugs.fettle:5"));
    for (const Ended& ended : {tree, program, schedule})
        EXPECT_EQ(ended.code, 0);
    EXPECT_EQ(folder.list().size(), 1u);
}

TEST(dump, works_on_files_with_mistakes) {
    const Folder folder;
    folder.write("two.fettle", two_mistakes);
    for (const char* stage : {"tree", "program", "schedule"})
        EXPECT_EQ(run(folder, {"check", "two.fettle", "--dump", stage}).code, 1) << stage;
}

// --- tests in the language ---

TEST(test, tells_what_holds_and_what_does_not) {
    const Folder folder;
    folder.write("mugs.fettle", std::string(mugs) +
                                    "test \"short\" { expect mugs.duration <= 24h }\n"
                                    "test \"hot\" { expect mugs.peak >= 1100C }\n");
    const Ended ended = run(folder, {"test", "mugs.fettle"});
    EXPECT_EQ(ended.code, 1);
    EXPECT_TRUE(has(ended.out, "ok      mugs.fettle: short"));
    EXPECT_TRUE(has(ended.out, "FAILED  mugs.fettle: hot"));
    EXPECT_TRUE(has(ended.out, "1 of 2 tests passed"));
    EXPECT_TRUE(has(ended.err, "failed-expectation"));
}

TEST(test, all_passed_ends_with_0) {
    const Folder folder;
    folder.write("mugs.fettle",
                 std::string(mugs) + "test \"short\" { expect mugs.duration <= 24h }\n");
    const Ended ended = run(folder, {"test", "mugs.fettle"});
    EXPECT_EQ(ended.code, 0);
    EXPECT_TRUE(has(ended.out, "1 of 1 test passed"));
}

} // namespace
} // namespace fettle::cli_test
