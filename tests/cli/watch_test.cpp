// `--watch`: again after each change, of modules too.
#include "tests/cli/program.h"

#include <gtest/gtest.h>

#include <chrono>
#include <thread>

namespace fettle::cli_test {
namespace {

std::size_t count(const std::string& text, std::string_view part) {
    std::size_t found = 0;
    for (std::size_t at = text.find(part); at != std::string::npos; at = text.find(part, at + 1))
        ++found;
    return found;
}

// Once more whenever it has ended one: `runs` runs in all.
struct Watching {
    const Folder& folder;
    Running running;
    Watching(const Folder& in, Words words, int runs)
        : folder(in), running(in, with_runs(std::move(words), runs)) {}
    static Words with_runs(Words words, int runs) {
        words.insert(words.end(), {"--watch", "--watch-runs", std::to_string(runs)});
        return words;
    }
    bool has_said(std::string_view part, std::size_t times) const {
        return wait_until([&] { return count(folder.read("running.out"), part) >= times; });
    }
};

TEST(watch, a_saved_file_is_checked_again) {
    const Folder folder;
    folder.write("a.fettle", "firing a { phase up { ramp to 600 at 100C/h } }\n");
    Watching watching(folder, {"check", "a.fettle"}, 2);
    ASSERT_TRUE(watching.has_said("1 error", 1));
    folder.write("a.fettle", firing("a"));
    EXPECT_EQ(watching.running.wait(), 0);
    EXPECT_TRUE(has(folder.read("running.err"), "a.fettle changed"));
    EXPECT_EQ(count(folder.read("running.out"), "missing-unit"), 1u);
}

TEST(watch, a_module_that_was_not_there_is_noticed) {
    const Folder folder;
    folder.write("a.fettle", "use shared (up)\nfiring a { phase x { follow up } }\n");
    Watching watching(folder, {"check", "a.fettle"}, 3);
    ASSERT_TRUE(watching.has_said("unknown-module", 1));
    folder.write("shared.fettle", "phase up { ramp to 900 at 100C/h }\n");
    ASSERT_TRUE(watching.has_said("missing-unit", 1));
    folder.write("shared.fettle", "phase up { ramp to 900C at 100C/h }\n");
    EXPECT_EQ(watching.running.wait(), 0);
    EXPECT_TRUE(has(folder.read("running.err"), "shared.fettle changed"));
}

TEST(watch, files_come_and_go_in_a_folder) {
    const Folder folder;
    folder.write("s/a.fettle", firing("a"));
    Watching watching(folder, {"check", "s", "-q"}, 3);
    ASSERT_TRUE(wait_until([&] { return folder.has("running.err"); }));
    std::this_thread::sleep_for(std::chrono::milliseconds(500));
    folder.write("s/b.fettle", "firing b {\n");
    ASSERT_TRUE(watching.has_said("missing-brace", 1));
    std::filesystem::remove(folder.path("s/b.fettle"));
    EXPECT_EQ(watching.running.wait(), 0);
}

TEST(watch, an_editor_that_puts_a_new_file_in_place_is_noticed) {
    const Folder folder;
    folder.write("a.fettle", "firing a { phase up { ramp to 600 at 100C/h } }\n");
    Watching watching(folder, {"build", "a.fettle"}, 2);
    ASSERT_TRUE(wait_until([&] { return has(folder.read("running.err"), "1 error"); }));
    folder.write("a.fettle.new", firing("a"));
    std::filesystem::rename(folder.path("a.fettle.new"), folder.path("a.fettle"));
    EXPECT_EQ(watching.running.wait(), 0);
    EXPECT_EQ(folder.list("out").size(), 2u);
}

TEST(watch, ends_on_a_signal_with_the_code_of_the_last_run) {
    for (const auto& [text, code] :
         std::vector<std::pair<std::string, int>>{{firing("a"), 0}, {"firing a {\n", 1}}) {
        const Folder folder;
        folder.write("a.fettle", text);
        Running running(folder, {"check", "a.fettle", "--watch"});
        ASSERT_TRUE(wait_until([&] { return !folder.read("running.out").empty(); }));
        running.signal(SIGINT);
        EXPECT_EQ(running.wait(), code) << text;
    }
}

} // namespace
} // namespace fettle::cli_test
