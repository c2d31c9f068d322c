// The command line itself: help, commands and options that are mistyped, exit code 2.
#include "tests/cli/program.h"

#include <gtest/gtest.h>

#include <cstdio>
#include <cstdlib>
#include <regex>
#include <sstream>

namespace fettle::cli_test {
namespace {

TEST(usage, nothing_typed_gives_the_overview_as_a_message) {
    const Folder folder;
    const Ended ended = run(folder, {});
    EXPECT_EQ(ended.code, 2);
    EXPECT_EQ(ended.out, "");
    EXPECT_TRUE(has(ended.err, "fettle new firing mugs"));
}

TEST(usage, help_is_a_result_and_names_every_command) {
    const Folder folder;
    for (const char* word : {"--help", "-h", "help"}) {
        const Ended ended = run(folder, {word});
        EXPECT_EQ(ended.code, 0) << word;
        EXPECT_EQ(ended.err, "") << word;
        for (const char* command : {"check", "show", "build", "test", "format", "explain", "new"})
            EXPECT_TRUE(has(ended.out, std::string("\n  ") + command + " ")) << word;
    }
}

TEST(usage, every_command_has_help_with_examples) {
    const Folder folder;
    for (const char* command :
         {"check", "show", "build", "test", "format", "explain", "new", "completion"}) {
        const Ended ended = run(folder, {command, "--help"});
        EXPECT_EQ(ended.code, 0) << command;
        EXPECT_EQ(ended.err, "") << command;
        EXPECT_TRUE(has(ended.out, "Examples\n")) << command;
        EXPECT_EQ(run(folder, {"help", command}).out, ended.out) << command;
    }
}

TEST(usage, help_fits_a_terminal_of_100_columns) {
    const Folder folder;
    for (const char* command : {"check", "show", "build", "test", "format", "explain", "new"}) {
        std::istringstream lines(run(folder, {command, "--help"}).out);
        for (std::string line; std::getline(lines, line);)
            EXPECT_LE(line.size(), 100u) << command << ": " << line;
    }
}

TEST(usage, version) {
    const Folder folder;
    const Ended ended = run(folder, {"--version"});
    EXPECT_EQ(ended.code, 0);
    EXPECT_TRUE(std::regex_match(ended.out, std::regex("fettle [0-9]+\\.[0-9]+\\.[0-9]+\n")));
}

TEST(usage, a_mistyped_command_gets_the_nearest) {
    const Folder folder;
    const Ended ended = run(folder, {"chek", "mugs.fettle"});
    EXPECT_EQ(ended.code, 2);
    EXPECT_EQ(ended.out, "");
    EXPECT_TRUE(has(ended.err, "did you mean `check`?"));
}

TEST(usage, a_file_alone_gets_the_commands_that_take_it) {
    const Folder folder;
    folder.write("mugs.fettle", mugs);
    const Ended ended = run(folder, {"mugs.fettle"});
    EXPECT_EQ(ended.code, 2);
    EXPECT_TRUE(has(ended.err, "`fettle show mugs.fettle`"));
}

TEST(usage, a_mistyped_option_gets_the_nearest) {
    const Folder folder;
    const Ended ended = run(folder, {"build", "mugs.fettle", "--scalee", "F"});
    EXPECT_EQ(ended.code, 2);
    EXPECT_TRUE(has(ended.err, "did you mean `--scale`?"));
}

struct Wrong {
    Words words;
    const char* says;
};

TEST(usage, wrong_values_end_with_2_and_say_what_is_taken) {
    const Folder folder;
    folder.write("mugs.fettle", mugs);
    const std::vector<Wrong> all = {
        {{"check"}, "needs FILE or FOLDER"},
        {{"check", "mugs.fettle", "--report", "xml"}, "text, json or sarif"},
        {{"check", "mugs.fettle", "--report"}, "--report needs a value"},
        {{"check", "mugs.fettle", "--threads", "0"}, "from 1 to 1024"},
        {{"check", "mugs.fettle", "--threads", "two"}, "from 1 to 1024"},
        {{"check", "mugs.fettle", "--threads", "99999999999999999999"}, "from 1 to 1024"},
        {{"check", "mugs.fettle", "--threads", "-1"}, "from 1 to 1024"},
        {{"check", "mugs.fettle", "--dump", "code"}, "tree, program, schedule or steps"},
        {{"build", "mugs.fettle", "--as", "jsn"}, "did you mean `json`?"},
        {{"build", "mugs.fettle", "--as", "csv,jsn"}, "did you mean `json`?"},
        {{"build", "mugs.fettle", "--as", ","}, "--as needs a value"},
        {{"build", "mugs.fettle", "--scale", "K"}, "C or F"},
        {{"build", "mugs.fettle", "--into"}, "--into needs a value"},
        {{"build", "mugs.fettle", "--into", "--quiet"}, "--into needs a value"},
        {{"build", "mugs.fettle", "--into", ""}, "--into needs a value"},
        {{"build", "mugs.fettle", "--into="}, "--into needs a value"},
        {{"show", "mugs.fettle", "--starts", "25:00"}, "time of day"},
        {{"show", "mugs.fettle", "--starts", "noon"}, "time of day"},
        {{"show", "mugs.fettle", "--starts", "9:5"}, "time of day"},
        {{"show", "mugs.fettle", "--width", "10"}, "from 40"},
        {{"format", "mugs.fettle:mugs"}, "as a whole"},
        {{"test", "mugs.fettle:mugs"}, "together"},
        {{"new"}, "needs firing|library NAME"},
        {{"new", "firing"}, "needs firing|library NAME"},
        {{"new", "kiln", "loft"}, "firing or library"},
        {{"new", "firing", "a", "b"}, "one word too many"},
        {{"completion", "tcsh"}, "bash, zsh or fish"},
        {{"explain", "missing-unt"}, "did you mean `missing-unit`?"},
        {{"check", "mugs.fettle:mgs"}, "did you mean `mugs.fettle:mugs`?"},
        {{"check", "-", "--watch"}, "can't be watched"},
    };
    for (const Wrong& wrong : all) {
        const Ended ended = run(folder, wrong.words);
        const std::string typed = testing::PrintToString(wrong.words);
        EXPECT_EQ(ended.code, 2) << typed;
        EXPECT_EQ(ended.out, "") << typed;
        EXPECT_TRUE(has(ended.err, "error: ")) << typed;
        EXPECT_TRUE(has(ended.err, wrong.says)) << typed;
    }
    EXPECT_EQ(folder.list(), std::vector<std::string>{"mugs.fettle"});
}

TEST(usage, what_is_typed_reaches_the_terminal_only_made_safe) {
    const Folder folder;
    for (const Words& words : std::vector<Words>{{"\x1b[31mred"},
                                                 {"check", "--\x1b[31m"},
                                                 {"explain", "\x1b[31m"},
                                                 {"new", "firing", "\x1b[31m"},
                                                 {"check", "\x1b[31m.fettle"}}) {
        EXPECT_TRUE(lacks(run(folder, words).err, "\x1b"));
    }
}

TEST(usage, several_shells_can_complete) {
    const Folder folder;
    for (const char* shell : {"bash", "zsh", "fish"}) {
        const Ended ended = run(folder, {"completion", shell});
        EXPECT_EQ(ended.code, 0);
        EXPECT_TRUE(has(ended.out, "sarif")) << shell;
        EXPECT_TRUE(has(ended.out, "missing-unit")) << shell;
    }
}

// Asks bash itself what it would offer.
std::string offered_by_bash(const Folder& folder, const std::string& words, int at) {
    const std::string command =
        "cd " + folder.path().string() +
        " && bash --norc -c 'eval \"$(" FETTLE_PROGRAM " completion bash)\"; COMP_WORDS=(" + words +
        "); COMP_CWORD=" + std::to_string(at) + "; _fettle; echo \"${COMPREPLY[@]}\"'";
    std::string text;
    FILE* pipe = ::popen(command.c_str(), "r");
    char piece[1024];
    while (std::fgets(piece, sizeof piece, pipe) != nullptr)
        text += piece;
    ::pclose(pipe);
    return text;
}

TEST(usage, bash_completes_commands_options_values_and_files) {
    const Folder folder;
    folder.write("mugs.fettle", mugs);
    folder.write("mugs.csv", "");
    EXPECT_EQ(offered_by_bash(folder, "fettle ch", 1), "check\n");
    EXPECT_EQ(offered_by_bash(folder, "fettle check --rep", 2), "--report\n");
    EXPECT_EQ(offered_by_bash(folder, "fettle check --report sa", 3), "sarif\n");
    EXPECT_EQ(offered_by_bash(folder, "fettle check m", 2), "mugs.fettle\n");
    EXPECT_EQ(offered_by_bash(folder, "fettle explain missing-un", 2), "missing-unit\n");
    EXPECT_EQ(offered_by_bash(folder, "fettle new fi", 2), "firing\n");
}

TEST(usage, the_scripts_for_other_shells_are_read_by_them) {
    const Folder folder;
    for (const std::string shell : {"zsh", "fish"}) {
        if (std::system(("command -v " + shell + " >/dev/null").c_str()) != 0)
            continue; // not on this machine
        folder.write("script", run(folder, {"completion", shell}).out);
        const std::string command = "cd " + folder.path().string() + " && " + shell + " -n script";
        EXPECT_EQ(std::system(command.c_str()), 0) << shell;
    }
}

} // namespace
} // namespace fettle::cli_test
