// `fettle format`: in place, whole or not at all, never at the cost of what the file says.
#include "tests/cli/program.h"

#include <gtest/gtest.h>

#include <chrono>
#include <random>
#include <sys/stat.h>
#include <thread>

namespace fettle::cli_test {
namespace {

constexpr const char* untidy =
    "# kept\nfiring   mugs {\n  phase up { ramp to 600C at 100C/h # here too\n"
    "soak 10m;soak 20m }\n}\n";
constexpr const char* tidy =
    "# kept\nfiring mugs {\n    phase up {\n        ramp to 600C at 100C/h  "
    "# here too\n        soak 10m\n        soak 20m\n    }\n}\n";

TEST(format, in_place_with_its_comments) {
    const Folder folder;
    folder.write("mugs.fettle", untidy);
    const Ended ended = run(folder, {"format", "mugs.fettle"});
    EXPECT_EQ(ended.code, 0);
    EXPECT_EQ(ended.out, "");
    EXPECT_TRUE(has(ended.err, "Formatted mugs.fettle"));
    EXPECT_EQ(folder.read("mugs.fettle"), tidy);
    EXPECT_EQ(folder.list(), std::vector<std::string>{"mugs.fettle"});
}

TEST(format, a_tidy_file_is_not_touched) {
    const Folder folder;
    folder.write("mugs.fettle", tidy);
    struct stat before {};
    ::stat(folder.path("mugs.fettle").c_str(), &before);
    const Ended ended = run(folder, {"format", "mugs.fettle"});
    struct stat after {};
    ::stat(folder.path("mugs.fettle").c_str(), &after);
    EXPECT_EQ(ended.code, 0);
    EXPECT_EQ(ended.err, "");
    EXPECT_EQ(before.st_ino, after.st_ino);
    EXPECT_EQ(before.st_mtim.tv_nsec, after.st_mtim.tv_nsec);
}

TEST(format, check_lists_and_changes_nothing) {
    const Folder folder;
    folder.write("s/a.fettle", untidy);
    folder.write("s/b.fettle", tidy);
    folder.write("s/c.fettle", untidy);
    const Ended ended = run(folder, {"format", "--check", "s"});
    EXPECT_EQ(ended.code, 1);
    EXPECT_EQ(ended.out, "s/a.fettle\ns/c.fettle\n");
    EXPECT_EQ(folder.read("s/a.fettle"), untidy);
    EXPECT_EQ(run(folder, {"format", "s"}).code, 0);
    const Ended again = run(folder, {"format", "--check", "s"});
    EXPECT_EQ(again.code, 0);
    EXPECT_EQ(again.out, "");
}

TEST(format, standard_input_to_stdout) {
    const Folder folder;
    const Ended ended = run(folder, {"format", "-"}, {.input = untidy});
    EXPECT_EQ(ended.code, 0);
    EXPECT_EQ(ended.out, tidy);
    EXPECT_EQ(run(folder, {"format", "-"}, {.input = tidy}).out, tidy);
    EXPECT_EQ(run(folder, {"format", "-"}, {.input = ""}).out, "");
}

TEST(format, a_file_with_mistakes_is_left_and_the_others_are_done) {
    const Folder folder;
    folder.write("a.fettle", "firing  a {\n");
    folder.write("b.fettle", untidy);
    const Ended ended = run(folder, {"format", "a.fettle", "b.fettle"});
    EXPECT_EQ(ended.code, 1);
    EXPECT_TRUE(has(ended.err, "missing-brace"));
    EXPECT_EQ(folder.read("a.fettle"), "firing  a {\n");
    EXPECT_EQ(folder.read("b.fettle"), tidy);
    const Ended piped = run(folder, {"format", "-"}, {.input = "firing  a {\n"});
    EXPECT_EQ(piped.code, 1);
    EXPECT_EQ(piped.out, "");
}

TEST(format, mode_and_links_are_kept) {
    const Folder folder;
    folder.write("real/mugs.fettle", untidy);
    ::chmod(folder.path("real/mugs.fettle").c_str(), 0640);
    std::filesystem::create_symlink("real/mugs.fettle", folder.path("mugs.fettle"));
    EXPECT_EQ(run(folder, {"format", "mugs.fettle"}).code, 0);
    EXPECT_TRUE(std::filesystem::is_symlink(folder.path("mugs.fettle")));
    EXPECT_EQ(folder.read("real/mugs.fettle"), tidy);
    struct stat status {};
    ::stat(folder.path("real/mugs.fettle").c_str(), &status);
    EXPECT_EQ(status.st_mode & 0777u, 0640u);
}

TEST(format, line_ends_of_other_systems_and_byte_order_marks) {
    const Folder folder;
    std::string other = "\xEF\xBB\xBF";
    for (const char c : std::string(untidy))
        other += c == '\n' ? std::string("\r\n") : std::string(1, c);
    folder.write("mugs.fettle", other);
    EXPECT_EQ(run(folder, {"format", "mugs.fettle"}).code, 0);
    EXPECT_EQ(folder.read("mugs.fettle"), tidy);
}

TEST(format, files_that_are_not_there) {
    const Folder folder;
    std::filesystem::create_directory(folder.path("empty"));
    std::filesystem::create_directory(folder.path("d.fettle"));
    EXPECT_EQ(run(folder, {"format", "none.fettle"}).code, 3);
    EXPECT_EQ(run(folder, {"format", "empty"}).code, 3);
    EXPECT_EQ(run(folder, {"format", "/dev/null"}).code, 3);
}

TEST(format, no_room_for_the_new_text_leaves_the_old_one) {
    const Folder folder;
    std::string large;
    for (int i = 0; i < 200; ++i)
        large += "firing   f" + std::to_string(i) + " { phase up { ramp to 600C at 100C/h } }\n";
    folder.write("mugs.fettle", large);
    const Ended ended = run(folder, {"format", "mugs.fettle"}, {.largest_file = 1000});
    EXPECT_EQ(ended.code, 3);
    EXPECT_EQ(folder.read("mugs.fettle"), large);
    EXPECT_EQ(folder.list(), std::vector<std::string>{"mugs.fettle"});
}

TEST(format, killed_at_any_moment_it_leaves_the_old_or_the_new_text) {
    const Folder folder;
    std::string old_text;
    std::string new_text;
    for (int i = 0; i < 4000; ++i) {
        const std::string name = "f" + std::to_string(i);
        old_text += "firing   " + name + " { phase up { ramp to 600C at 100C/h } }\n";
        new_text += "firing " + name + " { phase up { ramp to 600C at 100C/h } }\n";
    }
    std::mt19937 random(7);
    int in_the_middle = 0;
    for (int round = 0; round < 30; ++round) {
        folder.write("mugs.fettle", old_text);
        Running running(folder, {"format", "mugs.fettle"});
        std::this_thread::sleep_for(std::chrono::milliseconds(random() % 40));
        running.signal(SIGKILL);
        in_the_middle += running.wait() == 128 + SIGKILL ? 1 : 0;
        const std::string text = folder.read("mugs.fettle");
        EXPECT_TRUE(text == old_text || text == new_text) << text.size();
    }
    EXPECT_GT(in_the_middle, 0);
    folder.write("mugs.fettle", old_text);
    EXPECT_EQ(run(folder, {"format", "mugs.fettle"}).code, 0);
    EXPECT_EQ(folder.read("mugs.fettle"), new_text);
    for (const std::string& name : folder.list())
        EXPECT_FALSE(name.starts_with(".fettle-")) << name;
}

} // namespace
} // namespace fettle::cli_test
