// `fettle show` and `fettle explain`: what is read on the terminal.
#include "tests/cli/program.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cstdlib>
#include <sstream>

namespace fettle::cli_test {
namespace {

TEST(show, table_and_curve_of_every_firing) {
    const Folder folder;
    folder.write("class.fettle", class_day);
    const Ended ended = run(folder, {"show", "class.fettle"});
    EXPECT_EQ(ended.code, 0);
    EXPECT_TRUE(has(ended.out, "Thin ware"));
    EXPECT_TRUE(has(ended.out, "Thick ware"));
    EXPECT_TRUE(has(ended.out, "1000C"));
    const Ended one = run(folder, {"show", "class.fettle:thick"});
    EXPECT_TRUE(lacks(one.out, "Thin ware"));
    EXPECT_TRUE(has(one.out, "Thick ware"));
}

TEST(show, scale_clock_reasons) {
    const Folder folder;
    folder.write("mugs.fettle", mugs);
    EXPECT_TRUE(has(run(folder, {"show", "mugs.fettle", "--scale", "F"}).out, "1832F"));
    EXPECT_TRUE(has(run(folder, {"show", "mugs.fettle", "--starts", "22:00"}).out, "22:00"));
    EXPECT_TRUE(has(run(folder, {"show", "mugs.fettle", "--why"}).out, "mugs.fettle"));
    EXPECT_TRUE(lacks(run(folder, {"show", "mugs.fettle"}).out, "mugs.fettle"));
}

TEST(show, plain_has_simple_signs_only) {
    const Folder folder;
    folder.write("mugs.fettle", mugs);
    const auto is_ascii = [](const std::string& text) {
        return std::all_of(text.begin(), text.end(), [](char c) { return c > 0; });
    };
    EXPECT_TRUE(is_ascii(run(folder, {"show", "mugs.fettle", "--plain"}).out));
    EXPECT_FALSE(is_ascii(run(folder, {"show", "mugs.fettle"}).out));
    EXPECT_TRUE(lacks(run_on_terminal(folder, {"show", "mugs.fettle", "--plain"}).out, "\x1b"));
}

std::size_t widest_line(const std::string& text) {
    std::istringstream lines(text);
    std::size_t widest = 0;
    for (std::string line; std::getline(lines, line);) {
        std::size_t width = 0;
        for (const char byte : line)
            width += (static_cast<unsigned char>(byte) & 0xC0u) != 0x80u && byte != '\r' ? 1 : 0;
        widest = std::max(widest, width);
    }
    return widest;
}

TEST(show, is_as_wide_as_the_terminal_and_80_columns_elsewhere) {
    const Folder folder;
    folder.write("mugs.fettle", mugs);
    EXPECT_EQ(widest_line(run(folder, {"show", "mugs.fettle", "-q"}).out), 80u);
    EXPECT_EQ(widest_line(run(folder, {"show", "mugs.fettle", "-q", "--width", "120"}).out), 120u);
    EXPECT_EQ(widest_line(run_on_terminal(folder, {"show", "mugs.fettle", "-q"},
                                          {.environment = {"NO_COLOR=1"}})
                              .out),
              100u);
}

TEST(show, colour_on_a_terminal_only) {
    const Folder folder;
    folder.write("mugs.fettle", mugs);
    EXPECT_TRUE(lacks(run(folder, {"show", "mugs.fettle"}).out, "\x1b"));
    EXPECT_TRUE(has(run_on_terminal(folder, {"show", "mugs.fettle"}).out, "\x1b["));
    EXPECT_TRUE(
        lacks(run_on_terminal(folder, {"show", "mugs.fettle"}, {.environment = {"NO_COLOR=1"}}).out,
              "\x1b"));
}

TEST(show, with_a_mistake_in_the_file_no_table_is_shown) {
    const Folder folder;
    folder.write("all.fettle",
                 firing("good") + "firing bad { phase up { ramp to 600 at 1C/h } }\n");
    const Ended ended = run(folder, {"show", "all.fettle:good"});
    EXPECT_EQ(ended.code, 1);
    EXPECT_EQ(ended.out, "");
    EXPECT_TRUE(has(ended.err, "missing-unit"));
}

TEST(show, nothing_to_show_is_said) {
    const Folder folder;
    folder.write("clay.fettle", "body clay { thickness 8mm }\n");
    const Ended ended = run(folder, {"show", "clay.fettle"});
    EXPECT_EQ(ended.code, 1);
    EXPECT_TRUE(has(ended.err, "no firing is declared in clay.fettle"));
}

TEST(progress, long_work_tells_on_a_terminal_how_far_it_is_and_clears_it_away) {
    const Folder folder;
    std::string many = "template t(top: Temperature) { phase up { ramp to top at 100C/h } }\n";
    for (int i = 0; i < 120000; ++i)
        many += "firing f" + std::to_string(i) + " = t(top: 900C)\n";
    folder.write("many.fettle", many);
    const Words words = {"build", "many.fettle", "--as", "json", "--into", "-"};
    const std::string command = "cd " + folder.path().string() +
                                " && script -qec '" FETTLE_PROGRAM
                                " build many.fettle --as json --into - >/dev/null' /dev/null >seen";
    if (std::system("command -v script >/dev/null") != 0)
        GTEST_SKIP() << "there is no `script` to make a terminal";
    EXPECT_EQ(std::system(command.c_str()), 0);
    const std::string seen = folder.read("seen");
    EXPECT_TRUE(has(seen, " of 120000 firings compiled"));
    EXPECT_TRUE(has(seen, "\r\x1b[K"));
    EXPECT_TRUE(lacks(run(folder, words, {.results_into = "/dev/null"}).err, "firings compiled"));
}

TEST(explain, a_page_with_a_wrong_and_a_right_example) {
    const Folder folder;
    for (const char* name : {"missing-unit", "missing_unit"}) {
        const Ended ended = run(folder, {"explain", name});
        EXPECT_EQ(ended.code, 0);
        EXPECT_TRUE(has(ended.out, "missing-unit\n"));
        EXPECT_TRUE(has(ended.out, "\nWrong:\n"));
        EXPECT_TRUE(has(ended.out, "\nRight:\n"));
        EXPECT_TRUE(has(ended.out, "\n    firing mugs"));
        EXPECT_TRUE(lacks(ended.out, "```"));
    }
}

// Every row of the table is listed, and each has a page of its own.
TEST(explain, every_message_has_its_page) {
    const Folder folder;
    const Ended all = run(folder, {"explain"});
    EXPECT_EQ(all.code, 0);
    std::istringstream lines(all.out);
    int pages = 0;
    for (std::string line; std::getline(lines, line);) {
        if (!line.starts_with("  "))
            continue;
        const std::string name = line.substr(2, line.find(' ', 2) - 2);
        const Ended page = run(folder, {"explain", name});
        EXPECT_EQ(page.code, 0) << name;
        EXPECT_TRUE(has(page.out, "Right:")) << name;
        ++pages;
    }
    EXPECT_GT(pages, 80);
}

} // namespace
} // namespace fettle::cli_test
