// What nobody should give to the program, and somebody will: a clear message, the right exit code,
// never a crash, a hang or half a file.
#include "tests/cli/program.h"

#include <gtest/gtest.h>

#include <chrono>
#include <sys/stat.h>

namespace fettle::cli_test {
namespace {

struct Bad {
    const char* what;
    std::string text;
    int code;         // of `check`
    const char* says; // in its report
};

std::string phase_of(const std::string& steps) {
    return "firing a { phase up { " + steps + " } }\n";
}

std::string repeated(std::string_view text, int times) {
    std::string all;
    for (int i = 0; i < times; ++i)
        all += text;
    return all;
}

std::vector<Bad> bad_sources() {
    const std::string mib(std::size_t{1} << 20U, ' ');
    return {
        {"an empty file", "", 0, "no firings"},
        {"blanks alone", "\n\n   \t\n", 0, "no firings"},
        {"a zero byte", std::string("firing a\0b {", 12), 1, "not-text"},
        {"a program file",
         "\x7f"
         "ELF\x02\x01\x01" +
             std::string(100, '\0'),
         1, "not-text"},
        {"bytes that are not UTF-8", "# \xff\xfe\n" + firing("a"), 1, "invalid-utf8"},
        {"another encoding", "firing a \"T\xf6pfe\" { phase up { ramp to 600C at 100C/h } }\n", 1,
         "invalid-utf8"},
        {"round brackets", "let a = " + repeated("(", 10000), 1, "too-deeply-nested"},
        {"square brackets", "let a = " + repeated("[", 10000), 1, "too-deeply-nested"},
        {"braces", repeated("firing a {", 10000), 1, "error"},
        {"closed brackets", "let a = " + repeated("(", 10000) + "1" + repeated(")", 10000) + "\n",
         1, "too-deeply-nested"},
        {"minus signs", "let a = " + repeated("-", 10000) + "1\n", 1, "error"},
        {"nested whens", "firing a { phase p { " + repeated("when yes { ", 10000), 1,
         "too-deeply-nested"},
        {"a template that calls itself",
         "template t() { phase up { ramp to 600C at 100C/h } }\n"
         "phase p() { follow q() }\nphase q() { follow p() }\n"
         "firing a { phase x { follow p() } }\n",
         1, "cycle"},
        {"a function that calls itself",
         "function f(a: Number) -> Number = f(a) + 1\nlet b = f(1)\n", 1, "cycle"},
        {"a million times", phase_of("repeat 1000000 times { soak 1m }"), 1, "1000"},
        {"repeats in repeats",
         phase_of("ramp to 600C at 100C/h; repeat 1000 times { repeat 1000 times { soak 1m } }"), 1,
         "error"},
        {"above the ceiling",
         "kiln loft { ceiling 1280C }\n"
         "firing a { kiln loft; phase up { ramp to 1400C at 100C/h } }\n",
         1, "above-ceiling"},
        {"a soak of nothing", phase_of("ramp to 600C at 100C/h; soak 0m"), 1, "not-positive"},
        {"a soak of less", phase_of("ramp to 600C at 100C/h; soak -5m"), 1, "not-positive"},
        {"a rate of nothing", phase_of("ramp to 600C at 0C/h"), 1, "not-positive"},
        {"a rate of less", phase_of("ramp to 600C at -5C/h"), 1, "not-positive"},
        {"a ramp over no time", phase_of("ramp to 600C over 0h"), 1, "not-positive"},
        {"nothing divided by nothing", "let x = 0 / 0\n", 1, "division-by-zero"},
        {"more than there are numbers", "let x = 1" + repeated("0", 400) + "\n", 1, "error"},
        {"infinity less infinity",
         "let big = 1" + repeated("0", 300) + "\nlet x = big * big - big * big\n", 1,
         "not-a-number"},
        {"below absolute zero", phase_of("ramp to -300C at 100C/h"), 1, "below-absolute-zero"},
        {"just past the limit", "#" + repeated(mib, 16), 1, "16 MiB"},
        {"far past the limit", "#" + repeated(mib, 40), 1, "16 MiB"},
    };
}

TEST(bad_input, sources_get_a_clear_message_and_the_right_code) {
    const Folder folder;
    for (const Bad& bad : bad_sources()) {
        folder.write("bad.fettle", bad.text);
        const auto began = std::chrono::steady_clock::now();
        const Ended checked = run(folder, {"check", "bad.fettle"});
        const auto took = std::chrono::steady_clock::now() - began;
        EXPECT_EQ(checked.code, bad.code) << bad.what << "\n" << checked.out.substr(0, 2000);
        EXPECT_TRUE(has(checked.out.substr(0, 20000), bad.says)) << bad.what;
        EXPECT_EQ(checked.err, "") << bad.what;
        EXPECT_LT(took, std::chrono::seconds(20)) << bad.what;
        for (const char* command : {"build", "show"}) {
            const Ended ended = run(folder, {command, "bad.fettle"});
            EXPECT_EQ(ended.code, 1) << command << ": " << bad.what;
            EXPECT_EQ(ended.out, "") << command << ": " << bad.what;
            EXPECT_NE(ended.err, "") << command << ": " << bad.what;
        }
        EXPECT_FALSE(folder.has("out")) << bad.what;
    }
}

TEST(bad_input, a_file_of_16_mib_is_allowed) {
    const Folder folder;
    std::string text = firing("a");
    text += "#" + std::string((std::size_t{16} << 20U) - text.size() - 1, 'x');
    folder.write("large.fettle", text);
    const Ended ended = run(folder, {"build", "large.fettle", "--as", "csv"});
    EXPECT_EQ(ended.code, 0) << ended.err.substr(0, 2000);
    EXPECT_EQ(folder.list("out"), std::vector<std::string>{"a.csv"});
}

TEST(bad_input, other_line_ends_and_a_byte_order_mark_change_nothing) {
    const Folder folder;
    std::string other = "\xEF\xBB\xBF";
    for (const char c : mugs)
        other += c == '\n' ? std::string("\r\n") : std::string(1, c);
    for (const auto& [into, text] :
         std::vector<std::pair<const char*, std::string>>{{"a", std::string(mugs)}, {"b", other}}) {
        folder.write("mugs.fettle", text);
        EXPECT_EQ(run(folder, {"build", "mugs.fettle", "--into", into}).code, 0);
    }
    EXPECT_EQ(folder.read("a/mugs.csv"), folder.read("b/mugs.csv"));
}

TEST(bad_input, what_is_no_file_is_named_and_never_waited_for) {
    const Folder folder;
    ::mkfifo(folder.path("pipe.fettle").c_str(), 0600);
    std::filesystem::create_symlink("nowhere", folder.path("broken.fettle"));
    std::filesystem::create_symlink("round.fettle", folder.path("round.fettle"));
    std::filesystem::create_directory(folder.path("empty"));
    std::filesystem::create_directory(folder.path("folder.fettle"));
    const std::vector<std::pair<const char*, const char*>> all = {
        {"none.fettle", "there is no file `none.fettle`"},
        {"no/such/folder.fettle", "there is no file"},
        {"pipe.fettle", "it is a pipe"},
        {"broken.fettle", "a link to something that is not there"},
        {"round.fettle", "round in a circle"},
        {"empty", "no file that ends in `.fettle`"},
        {"folder.fettle", "no file that ends in `.fettle`"},
        {"/dev/null", "it is a device"},
        {"/dev/zero", "it is a device"},
        {"", "there is no file"},
    };
    for (const auto& [path, says] : all) {
        for (const char* command : {"check", "build", "show", "format", "test"}) {
            const Ended ended = run(folder, {command, path});
            EXPECT_EQ(ended.code, 3) << command << " " << path;
            EXPECT_TRUE(has(ended.out + ended.err, says)) << command << " " << path;
        }
    }
    EXPECT_FALSE(folder.has("out"));
}

TEST(bad_input, one_good_and_one_missing_file_end_with_3_and_write_nothing) {
    const Folder folder;
    folder.write("mugs.fettle", mugs);
    const Ended ended = run(folder, {"build", "mugs.fettle", "none.fettle"});
    EXPECT_EQ(ended.code, 3);
    EXPECT_FALSE(folder.has("out"));
}

TEST(bad_input, a_module_that_is_a_folder_or_a_pipe) {
    const Folder folder;
    ::mkfifo(folder.path("shared.fettle").c_str(), 0600);
    folder.write("a.fettle", "use shared (up)\nfiring a { phase x { follow up } }\n");
    const Ended ended = run(folder, {"check", "a.fettle"});
    EXPECT_EQ(ended.code, 1);
    EXPECT_TRUE(has(ended.out, "it is a pipe"));
}

TEST(bad_input, titles_can_not_command_the_terminal) {
    const Folder folder;
    folder.write("a.fettle",
                 "firing a \"\x1b]0;gone\x07\" { phase up { ramp to 600C at 100C/h } }\n");
    for (const char* command : {"show", "check"})
        EXPECT_TRUE(lacks(run(folder, {command, "a.fettle"}).out, "\x1b"));
}

TEST(bad_input, endless_standard_input_is_cut) {
    const Folder folder;
    const std::string command = "cd " + folder.path().string() +
                                " && yes '# a remark' | " FETTLE_PROGRAM
                                " check - >out; echo $? >code";
    EXPECT_EQ(std::system(command.c_str()), 0);
    EXPECT_EQ(folder.read("code"), "1\n");
    EXPECT_TRUE(has(folder.read("out"), "16 MiB"));
}

} // namespace
} // namespace fettle::cli_test
