// `fettle build`: files that are written whole or not at all.
#include "tests/cli/program.h"

#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include <chrono>
#include <random>
#include <set>
#include <sstream>
#include <sys/mount.h>
#include <sys/stat.h>
#include <thread>
#include <unistd.h>

namespace fettle::cli_test {
namespace {

using Names = std::vector<std::string>;

std::string many_firings(int count) {
    std::string text = "template simple(top: Temperature) {\n";
    for (int step = 1; step <= 15; ++step) {
        text += "    phase p" + std::to_string(step) + " { ramp to top - " +
                std::to_string(320 - 20 * step) + "dC at 100C/h }\n";
    }
    text += "}\n";
    for (int i = 0; i < count; ++i) {
        text += "firing f" + std::to_string(i) + " = simple(top: " + std::to_string(900 + i % 200) +
                "C)\n";
    }
    return text;
}

TEST(build, writes_csv_and_json_of_each_firing_into_out) {
    const Folder folder;
    folder.write("class.fettle", class_day);
    const Ended ended = run(folder, {"build", "class.fettle"});
    EXPECT_EQ(ended.code, 0);
    EXPECT_EQ(ended.out, "");
    EXPECT_TRUE(has(ended.err, "Wrote out/thick.csv\nWrote out/thick.json\nWrote out/thin.csv\n"));
    EXPECT_EQ(folder.list("out"), (Names{"thick.csv", "thick.json", "thin.csv", "thin.json"}));
    EXPECT_EQ(nlohmann::json::parse(folder.read("out/thin.json")).at("firing").at("title"),
              "Thin ware");
    EXPECT_TRUE(has(folder.read("out/thin.csv"), "target_c"));
}

TEST(build, the_folder_is_made_with_those_above_it) {
    const Folder folder;
    folder.write("mugs.fettle", mugs);
    EXPECT_EQ(run(folder, {"build", "mugs.fettle", "--into", "a/b/c/", "--as", "csv"}).code, 0);
    EXPECT_EQ(folder.list("a/b/c"), Names{"mugs.csv"});
    EXPECT_EQ(run(folder, {"build", "mugs.fettle", "--into", ".", "--as", "csv"}).code, 0);
    EXPECT_TRUE(folder.has("mugs.csv"));
    const std::string whole = folder.path("whole").string();
    EXPECT_EQ(run(folder, {"build", "mugs.fettle", "--into", whole}).code, 0);
    EXPECT_EQ(folder.list("whole").size(), 2u);
}

TEST(build, kinds_of_files_by_commas_or_one_by_one) {
    const Folder folder;
    folder.write("mugs.fettle", mugs);
    for (const Words& as : std::vector<Words>{{"--as", "csv,json"},
                                              {"--as=json,csv"},
                                              {"--as", "csv", "--as", "json"},
                                              {"--as", "json,csv,json"}}) {
        Words words = {"build", "mugs.fettle"};
        words.insert(words.end(), as.begin(), as.end());
        EXPECT_EQ(run(folder, words).code, 0);
        EXPECT_EQ(folder.list("out"), (Names{"mugs.csv", "mugs.json"}));
        std::filesystem::remove_all(folder.path("out"));
    }
}

TEST(build, fahrenheit) {
    const Folder folder;
    folder.write("mugs.fettle", mugs);
    const Ended ended =
        run(folder, {"build", "mugs.fettle", "--as", "csv", "--into", "-", "--scale", "F"});
    EXPECT_TRUE(has(ended.out, "target_f"));
    EXPECT_TRUE(has(ended.out, "1832"));
}

TEST(build, json_lines_on_stdout_in_the_order_of_the_firings) {
    const Folder folder;
    folder.write("class.fettle", class_day);
    const Ended ended = run(folder, {"build", "class.fettle", "--into", "-", "--as", "json"});
    EXPECT_EQ(ended.code, 0);
    std::istringstream lines(ended.out);
    Names names;
    for (std::string line; std::getline(lines, line);)
        names.push_back(nlohmann::json::parse(line).at("firing").at("name"));
    EXPECT_EQ(names, (Names{"thin", "thick"}));
    EXPECT_EQ(folder.list(), Names{"class.fettle"});
}

TEST(build, stdout_takes_one_kind_and_csv_of_one_firing) {
    const Folder folder;
    folder.write("class.fettle", class_day);
    const Ended both = run(folder, {"build", "class.fettle", "--into", "-"});
    EXPECT_EQ(both.code, 2);
    EXPECT_TRUE(has(both.err, "--as json"));
    const Ended two = run(folder, {"build", "class.fettle", "--into", "-", "--as", "csv"});
    EXPECT_EQ(two.code, 2);
    EXPECT_TRUE(has(two.err, "FILE:thin"));
    EXPECT_EQ(run(folder, {"build", "class.fettle:thin", "--into", "-", "--as", "csv"}).code, 0);
}

TEST(build, same_bytes_whatever_the_number_of_threads) {
    const Folder folder;
    folder.write("many.fettle", many_firings(2500));
    const Words words = {"build", "many.fettle", "--into", "-", "--as", "json", "--threads"};
    std::string first;
    for (const char* threads : {"1", "2", "7"}) {
        Words all = words;
        all.emplace_back(threads);
        const Ended ended = run(folder, all);
        EXPECT_EQ(ended.code, 0);
        EXPECT_GT(ended.out.size(), 1000000u);
        if (first.empty())
            first = ended.out;
        EXPECT_TRUE(ended.out == first) << threads;
    }
}

TEST(build, an_error_anywhere_writes_nothing_and_leaves_what_is_there) {
    const Folder folder;
    folder.write("out/good.csv", "from before");
    for (const char* bad :
         {"firing bad { phase up { ramp to 600 at 100C/h } }\n",  // does not check
          "firing bad { phase up { cool to 900C at 100C/h } }\n", // shows in the firing only
          "let x = 1 / 0\nfiring bad { phase up { ramp to x * 1dC + 600C at 100C/h } }\n"}) {
        folder.write("all.fettle", firing("good") + bad);
        const Ended ended = run(folder, {"build", "all.fettle"});
        EXPECT_EQ(ended.code, 1) << bad;
        EXPECT_EQ(folder.list("out"), Names{"good.csv"}) << bad;
        EXPECT_EQ(folder.read("out/good.csv"), "from before") << bad;
    }
}

TEST(build, on_stdout_only_sound_firings_appear_and_the_code_tells) {
    const Folder folder;
    folder.write("all.fettle",
                 firing("good") + "firing bad { phase up { cool to 900C at 100C/h } }\n");
    const Ended ended = run(folder, {"build", "all.fettle", "--into", "-", "--as", "json"});
    EXPECT_EQ(ended.code, 1);
    EXPECT_TRUE(has(ended.out, "\"name\":\"good\""));
    EXPECT_TRUE(lacks(ended.out, "\"name\":\"bad\""));
    EXPECT_TRUE(has(ended.err, "wrong-direction"));
}

TEST(build, files_that_would_replace_one_another_are_refused) {
    const Folder folder;
    folder.write("s/a.fettle", firing("mugs"));
    folder.write("s/b.fettle", firing("mugs"));
    const Ended same = run(folder, {"build", "s"});
    EXPECT_EQ(same.code, 1);
    EXPECT_TRUE(has(same.err, "s/a.fettle:1:8"));
    EXPECT_TRUE(has(same.err, "s/b.fettle:1:8"));
    EXPECT_FALSE(folder.has("out"));
    for (const auto& [one, other] : std::vector<std::pair<const char*, const char*>>{
             {"mugs", "Mugs"}, {"бисквит", "Бисквит"}, {"öfen", "Öfen"}, {"ληκυθος", "Ληκυθος"}}) {
        folder.write("s/b.fettle", firing(one));
        folder.write("s/a.fettle", firing(other));
        const Ended ended = run(folder, {"build", "s"});
        EXPECT_EQ(ended.code, 1) << one;
        EXPECT_TRUE(has(ended.err, "differ in capitals only")) << one;
    }
    EXPECT_EQ(run(folder, {"check", "s"}).code, 0);
    EXPECT_EQ(run(folder, {"build", "s/a.fettle"}).code, 0);
}

TEST(build, names_in_any_script_and_of_old_devices) {
    const Folder folder;
    folder.write("a.fettle", firing("con") + firing("素焼き") + firing("κύλιξ") + firing("nul"));
    EXPECT_EQ(run(folder, {"build", "a.fettle", "--as", "csv"}).code, 0);
    EXPECT_EQ(folder.list("out"), (Names{"con.csv", "nul.csv", "κύλιξ.csv", "素焼き.csv"}));
}

TEST(build, nothing_to_build_is_said) {
    const Folder folder;
    folder.write("clay.fettle", "body clay { thickness 8mm }\n");
    const Ended ended = run(folder, {"build", "clay.fettle"});
    EXPECT_EQ(ended.code, 1);
    EXPECT_TRUE(has(ended.err, "nothing to write"));
    EXPECT_FALSE(folder.has("out"));
}

TEST(build, an_older_file_is_replaced_whole_through_any_link) {
    const Folder folder;
    folder.write("mugs.fettle", mugs);
    folder.write("precious.txt", "keep me");
    folder.write("out/mugs.json", std::string(1000000, 'x'));
    std::filesystem::create_symlink("../precious.txt", folder.path("out/mugs.csv"));
    EXPECT_EQ(run(folder, {"build", "mugs.fettle"}).code, 0);
    EXPECT_EQ(folder.read("precious.txt"), "keep me");
    EXPECT_TRUE(nlohmann::json::accept(folder.read("out/mugs.json")));
    EXPECT_TRUE(has(folder.read("out/mugs.csv"), "target_c"));
}

TEST(build, files_can_be_read_by_others_as_is_usual) {
    const Folder folder;
    folder.write("mugs.fettle", mugs);
    const mode_t before = ::umask(022);
    EXPECT_EQ(run(folder, {"build", "mugs.fettle"}).code, 0);
    ::umask(before);
    struct stat status {};
    ASSERT_EQ(::stat(folder.path("out/mugs.json").c_str(), &status), 0);
    EXPECT_EQ(status.st_mode & 0777u, 0644u);
}

// --- where nothing can be written ---

TEST(build_fails, a_file_stands_where_the_folder_should_be) {
    const Folder folder;
    folder.write("mugs.fettle", mugs);
    folder.write("out", "a file");
    for (const char* into : {"out", "out/deeper", "/proc/nothing", "/dev/null/x"}) {
        const Ended ended = run(folder, {"build", "mugs.fettle", "--into", into});
        EXPECT_EQ(ended.code, 3) << into;
        EXPECT_TRUE(has(ended.err, "error: ")) << into;
        EXPECT_TRUE(has(ended.err, "Nothing was written.")) << into;
    }
    EXPECT_EQ(folder.read("out"), "a file");
}

TEST(build_fails, a_folder_stands_where_a_file_should_be) {
    const Folder folder;
    folder.write("mugs.fettle", mugs);
    folder.write("out/mugs.json/inside", "x");
    const Ended ended = run(folder, {"build", "mugs.fettle"});
    EXPECT_EQ(ended.code, 3);
    EXPECT_TRUE(has(ended.err, "out/mugs.json"));
    EXPECT_EQ(folder.list("out/mugs.json"), Names{"inside"});
}

TEST(build_fails, a_file_grows_past_what_is_allowed) {
    const Folder folder;
    folder.write("many.fettle", many_firings(20));
    folder.write("out/f0.json", "from before");
    // The messages are a file here, too.
    const Ended ended = run(folder, {"build", "many.fettle", "--quiet"}, {.largest_file = 5000});
    EXPECT_EQ(ended.code, 3);
    EXPECT_TRUE(has(ended.err, "larger than is allowed"));
    EXPECT_EQ(folder.list("out"), Names{"f0.json"});
    EXPECT_EQ(folder.read("out/f0.json"), "from before");
}

TEST(build_fails, stdout_is_a_full_disk) {
    const Folder folder;
    folder.write("mugs.fettle", mugs);
    for (const Words& words : std::vector<Words>{{"build", "mugs.fettle", "--into=-", "--as=json"},
                                                 {"build", "mugs.fettle", "--into=-", "--as=csv"},
                                                 {"show", "mugs.fettle"},
                                                 {"check", "mugs.fettle"},
                                                 {"--help"}}) {
        const Ended ended = run(folder, words, {.results_into = "/dev/full"});
        EXPECT_EQ(ended.code, 3);
        EXPECT_TRUE(has(ended.err, "the disk is full"));
    }
}

// A small disk of its own, where the tests may mount one.
class SmallDisk {
  public:
    explicit SmallDisk(const std::filesystem::path& at) : at_(at) {
        std::filesystem::create_directories(at);
        mounted_ = ::mount("tmpfs", at.c_str(), "tmpfs", 0, "size=64k") == 0;
    }
    ~SmallDisk() {
        if (mounted_)
            ::umount(at_.c_str());
    }
    bool mounted() const { return mounted_; }
    bool make_read_only() const {
        return ::mount("tmpfs", at_.c_str(), "tmpfs", MS_REMOUNT | MS_RDONLY, "size=64k") == 0;
    }

  private:
    std::filesystem::path at_;
    bool mounted_ = false;
};

TEST(build_fails, the_disk_is_full) {
    const Folder folder;
    const SmallDisk disk(folder.path("out"));
    if (!disk.mounted())
        GTEST_SKIP() << "no small disk can be mounted here";
    folder.write("many.fettle", many_firings(200));
    folder.write("out/f0.json", "from before");
    const Ended ended = run(folder, {"build", "many.fettle"});
    EXPECT_EQ(ended.code, 3);
    EXPECT_TRUE(has(ended.err, "the disk is full"));
    EXPECT_EQ(folder.list("out"), Names{"f0.json"});
    EXPECT_EQ(folder.read("out/f0.json"), "from before");
}

TEST(build_fails, the_disk_can_only_be_read) {
    const Folder folder;
    const SmallDisk disk(folder.path("out"));
    if (!disk.mounted() || !disk.make_read_only())
        GTEST_SKIP() << "no small disk can be mounted here";
    folder.write("mugs.fettle", mugs);
    const Ended ended = run(folder, {"build", "mugs.fettle"});
    EXPECT_EQ(ended.code, 3);
    EXPECT_TRUE(has(ended.err, "can only be read"));
}

TEST(build_fails, no_permission) {
    const Folder folder;
    folder.write("mugs.fettle", mugs);
    folder.write("secret.fettle", mugs);
    folder.write("out/mugs.csv", "from before");
    ::chmod(folder.path().c_str(), 0755);
    ::chmod(folder.path("secret.fettle").c_str(), 0);
    ::chmod(folder.path("out").c_str(), 0555);
    const Ended ended = run(folder, {"build", "mugs.fettle"}, {.as_nobody = true});
    if (ended.code == 127)
        GTEST_SKIP() << "the program lies where no other user may run it";
    EXPECT_EQ(ended.code, 3);
    EXPECT_TRUE(has(ended.err, "you have no permission"));
    EXPECT_EQ(folder.list("out"), Names{"mugs.csv"});
    const Ended secret = run(folder, {"check", "secret.fettle"}, {.as_nobody = true});
    EXPECT_EQ(secret.code, 3);
    EXPECT_TRUE(has(secret.out, "you have no permission"));
    ::chmod(folder.path("out").c_str(), 0755);
}

// --- ended in the middle ---

// Of each file: from before, or whole.
void expect_no_half_files(const Folder& folder) {
    for (const std::string& name : folder.list("out")) {
        if (name.front() == '.')
            continue;
        const std::string text = folder.read("out/" + name);
        const bool whole = name.ends_with(".json")
                               ? nlohmann::json::accept(text)
                               : text.starts_with("step") || text.ends_with("\r\n");
        EXPECT_TRUE(whole) << name << " has " << text.size() << " bytes";
    }
}

// How many runs left hidden files (or are at work).
std::size_t runs_at_work(const Folder& folder) {
    std::set<std::string> runs;
    for (const std::string& name : folder.has("out") ? folder.list("out") : Names{}) {
        if (name.starts_with(".fettle-"))
            runs.insert(name.substr(0, name.rfind('-')));
    }
    return runs.size();
}

TEST(build_ended, killed_at_any_moment_it_leaves_no_half_file) {
    const Folder folder;
    folder.write("many.fettle", many_firings(1500));
    std::mt19937 random(20240601);
    int in_the_middle = 0;
    for (int round = 0; round < 40; ++round) {
        Running running(folder, {"build", "many.fettle", "--as", "json"});
        std::this_thread::sleep_for(std::chrono::milliseconds(random() % 150));
        running.signal(SIGKILL);
        in_the_middle += running.wait() == 128 + SIGKILL ? 1 : 0;
        if (folder.has("out"))
            expect_no_half_files(folder);
        EXPECT_LE(runs_at_work(folder), 1u) << "the next run clears up after the one before";
    }
    EXPECT_GT(in_the_middle, 0);
    EXPECT_EQ(run(folder, {"build", "many.fettle", "--as", "json"}).code, 0);
    EXPECT_EQ(runs_at_work(folder), 0u);
    EXPECT_EQ(folder.list("out").size(), 1500u);
    expect_no_half_files(folder);
}

TEST(build_ended, a_signal_leaves_nothing_behind) {
    const Folder folder;
    folder.write("many.fettle", many_firings(20000));
    for (const int number : {SIGINT, SIGTERM, SIGHUP}) {
        Running running(folder, {"build", "many.fettle", "--threads", "1"});
        ASSERT_TRUE(wait_until([&] { return runs_at_work(folder) > 0; }));
        running.signal(number);
        EXPECT_EQ(running.wait(), 128 + number);
        EXPECT_EQ(folder.list("out"), Names{}) << number;
    }
}

TEST(build_ended, two_runs_at_a_time_do_not_disturb_one_another) {
    const Folder folder;
    folder.write("many.fettle", many_firings(1000));
    Running first(folder, {"build", "many.fettle"}, "1.out", "1.err");
    Running second(folder, {"build", "many.fettle"}, "2.out", "2.err");
    Running third(folder, {"build", "many.fettle"}, "3.out", "3.err");
    EXPECT_EQ(first.wait(), 0) << folder.read("1.err");
    EXPECT_EQ(second.wait(), 0) << folder.read("2.err");
    EXPECT_EQ(third.wait(), 0) << folder.read("3.err");
    EXPECT_EQ(folder.list("out").size(), 2000u);
    expect_no_half_files(folder);
}

TEST(build_ended, a_reader_that_goes_away_is_no_fault) {
    const Folder folder;
    folder.write("many.fettle", many_firings(5000));
    const std::string command = "cd " + folder.path().string() +
                                " && { " FETTLE_PROGRAM
                                " build many.fettle --into - --as json 2>err; echo $? >code; } | "
                                "head -c 100 >head";
    EXPECT_EQ(std::system(command.c_str()), 0);
    EXPECT_EQ(folder.read("code"), "0\n");
    EXPECT_EQ(folder.read("head").size(), 100u);
    EXPECT_TRUE(lacks(folder.read("err"), "error"));
}

} // namespace
} // namespace fettle::cli_test
