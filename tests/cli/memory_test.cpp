// `build --as memory` and `build --against`: what a controller keeps, and what to key again.
#include "tests/cli/program.h"

#include <gtest/gtest.h>

namespace fettle::cli_test {
namespace {

std::string kiln(std::string_view memory) {
    return "controller pad {\n    step_form duration_target\n    programs 3\n    max_steps 4\n"
           "    cooling yes\n}\n"
           "kiln loft \"The loft\" {\n    controller pad\n}\n"
           "memory loft_programs for loft {\n" +
           std::string(memory) + "}\n";
}

std::string firing(std::string_view name, std::string_view steps) {
    return "firing " + std::string(name) + " {\n    kiln loft\n    phase bisque {\n" +
           std::string(steps) + "    }\n}\n";
}

const std::string mugs = firing("mugs", "        ramp to 600C at 100C/h\n        soak 20m\n");
const std::string bowls = firing("bowls", "        ramp to 500C at 50C/h\n        soak 30m\n");

bool has(const std::string& text, std::string_view part) {
    return text.find(part) != std::string::npos;
}

TEST(memory, a_sheet_for_each_with_the_programs_in_order) {
    const Folder folder;
    folder.write("a.fettle", kiln("    3 mugs\n    1 bowls\n") + mugs + bowls);
    const Ended ended = run(folder, {"build", "a.fettle", "--as", "memory"});
    EXPECT_EQ(ended.code, 0) << ended.err;
    EXPECT_EQ(folder.list("out"), (Words{"loft_programs.memory.html"}));
    const std::string html = folder.read("out/loft_programs.memory.html");
    const std::size_t first = html.find("<span>Program 1</span>");
    const std::size_t third = html.find("<span>Program 3</span>");
    ASSERT_NE(first, std::string::npos);
    ASSERT_NE(third, std::string::npos);
    EXPECT_LT(first, third);
    EXPECT_TRUE(has(html, "keeps 3 programs. Free: 2."));
}

TEST(memory, firings_of_another_file_are_compiled_for_it) {
    const Folder folder;
    folder.write("kilns.fettle", kiln(""));
    folder.write("mugs.fettle", "use kilns (loft)\n" + mugs);
    folder.write("stored.fettle",
                 "use kilns (loft)\nuse mugs (mugs)\nmemory kept for loft {\n    2 mugs\n}\n");
    const Ended ended = run(folder, {"build", "stored.fettle", "--as", "memory,json"});
    EXPECT_EQ(ended.code, 0) << ended.err;
    EXPECT_EQ(folder.list("out"), (Words{"kept.memory.html"}));
}

TEST(memory, a_program_that_does_not_fit_is_an_error_with_its_own_name) {
    const Folder folder;
    const std::string many =
        firing("many", "        ramp to 100C at 50C/h\n        ramp to 200C at 60C/h\n"
                       "        ramp to 300C at 70C/h\n        ramp to 400C at 80C/h\n"
                       "        ramp to 500C at 90C/h\n        soak 20m\n");
    folder.write("a.fettle", kiln("    1 many\n    2 mugs\n") + many + mugs);
    const Ended ended = run(folder, {"build", "a.fettle", "--as", "memory"});
    EXPECT_EQ(ended.code, 1);
    EXPECT_TRUE(has(ended.err, "too-many-steps")) << ended.err;
    EXPECT_FALSE(folder.has("out"));
    // In two programs it fits, but the second number is taken.
    const Ended split = run(folder, {"build", "a.fettle", "--as", "memory", "--split"});
    EXPECT_EQ(split.code, 1);
    EXPECT_TRUE(has(split.err, "program-twice")) << split.err;
    folder.write("a.fettle", kiln("    3 many\n    1 mugs\n") + many + mugs);
    const Ended beyond = run(folder, {"build", "a.fettle", "--as", "memory", "--split"});
    EXPECT_TRUE(has(beyond.err, "no-such-program")) << beyond.err;
    folder.write("a.fettle", kiln("    2 many\n    1 mugs\n") + many + mugs);
    const Ended fits = run(folder, {"build", "a.fettle", "--as", "memory", "--split"});
    EXPECT_EQ(fits.code, 0) << fits.err;
    EXPECT_TRUE(has(folder.read("out/loft_programs.memory.html"), "Program 2 to 3"));
}

TEST(memory, none_is_declared) {
    const Folder folder;
    folder.write("a.fettle", firing("plain", "        ramp to 600C at 100C/h\n"));
    EXPECT_NE(run(folder, {"build", "a.fettle", "--as", "memory"}).code, 0);
    EXPECT_FALSE(folder.has("out"));
}

TEST(against, tells_which_steps_to_key_again) {
    const Folder folder;
    folder.write("a.fettle", kiln("    1 mugs\n    2 bowls\n") + mugs + bowls);
    ASSERT_EQ(run(folder, {"build", "a.fettle", "--as", "json", "--into", "keyed"}).code, 0);
    const std::string edited = firing("mugs", "        ramp to 600C at 100C/h\n        soak 40m\n");
    folder.write("a.fettle", kiln("    1 mugs\n    2 bowls\n") + edited + bowls);
    const Ended ended =
        run(folder, {"build", "a.fettle", "--as", "memory,keying", "--against", "keyed"});
    EXPECT_EQ(ended.code, 0) << ended.err;
    EXPECT_TRUE(has(ended.err, "mugs (program 1 of loft_programs): out of date; key again: step 2"))
        << ended.err;
    EXPECT_TRUE(has(ended.err, "step 2: 40m, to 600C; it was 20m, to 600C")) << ended.err;
    EXPECT_TRUE(has(ended.err, "bowls (program 2 of loft_programs): as it is stored"));
    EXPECT_TRUE(has(folder.read("out/mugs.keying.html"), "<b>key again</b></td>"));
    EXPECT_FALSE(has(folder.read("out/bowls.keying.html"), "<b>key again</b></td>"));
    EXPECT_TRUE(has(folder.read("out/loft_programs.memory.html"), "<b>step 2</b>"));
}

TEST(against, a_file_that_is_no_firing_is_refused) {
    const Folder folder;
    folder.write("a.fettle", kiln("    1 mugs\n") + mugs);
    folder.write("list.json", "[1, 2]");
    folder.write("broken.json", "{\"format\": ");
    folder.write("empty/readme.txt", "");
    for (const char* earlier : {"list.json", "broken.json", "missing.json", "empty"}) {
        const Ended ended = run(folder, {"build", "a.fettle", "--against", earlier});
        EXPECT_EQ(ended.code, 3) << earlier << ended.err;
        EXPECT_TRUE(has(ended.err, "can't be compared with")) << ended.err;
        EXPECT_FALSE(folder.has("out"));
    }
}

TEST(against, a_firing_without_steps_then_is_keyed_all) {
    const Folder folder;
    folder.write("a.fettle", firing("mugs", "        ramp to 600C at 100C/h\n        soak 20m\n") +
                                 "kiln loft {\n    fuel electric\n}\n");
    ASSERT_EQ(run(folder, {"build", "a.fettle", "--into", "keyed"}).code, 0);
    folder.write("a.fettle", kiln("    1 mugs\n") + mugs);
    const Ended ended = run(folder, {"build", "a.fettle", "--against", "keyed/mugs.json"});
    EXPECT_EQ(ended.code, 0) << ended.err;
    EXPECT_TRUE(has(ended.err, "key all of it, because the earlier one has no table of steps"))
        << ended.err;
}

} // namespace
} // namespace fettle::cli_test
