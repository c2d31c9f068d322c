// Runs the real program in a folder of its own, for the tests of the command line.
#pragma once

#include <csignal>
#include <filesystem>
#include <functional>
#include <gtest/gtest.h>
#include <string>
#include <string_view>
#include <sys/types.h>
#include <vector>

namespace fettle::cli_test {

// A new empty folder; goes away with all that is in it.
class Folder {
  public:
    Folder();
    ~Folder();
    Folder(const Folder&) = delete;
    Folder& operator=(const Folder&) = delete;

    std::filesystem::path path(std::string_view name = "") const { return path_ / name; }
    void write(std::string_view name, std::string_view text) const; // makes its folders
    std::string read(std::string_view name) const;                  // "" where there is none
    bool has(std::string_view name) const;
    // Names of all that lies in a folder, hidden ones too, in the order of the alphabet.
    std::vector<std::string> list(std::string_view name = "") const;

  private:
    std::filesystem::path path_;
};

struct Setting {
    std::string input;                    // standard input
    std::vector<std::string> environment; // "NO_COLOR=1"
    std::string results_into;             // a file in place of what is caught as `out`
    long largest_file = 0;                // bytes that a file may grow to; 0: no limit
    bool as_nobody = false;               // root, whom nothing is forbidden, becomes another user
};

struct Ended {
    int code = 0; // 128 + the signal that ended it
    std::string out;
    std::string err;
};

using Words = std::vector<std::string>;

// `fettle WORDS...` in the folder.
Ended run(const Folder& folder, const Words& words, const Setting& setting = {});

// The same on a terminal of 100 columns: what it shows, results and messages together.
Ended run_on_terminal(const Folder& folder, const Words& words, const Setting& setting = {});

// Started and left to itself.
class Running {
  public:
    Running(const Folder& folder, const Words& words, const std::string& out_file = "running.out",
            const std::string& err_file = "running.err");
    ~Running(); // kills it, if it still runs
    void signal(int number) const;
    int wait(); // as Ended::code

  private:
    pid_t process_ = -1;
};

// Whether a text has a part, with the text in the message of the test.
testing::AssertionResult has(std::string_view text, std::string_view part);
testing::AssertionResult lacks(std::string_view text, std::string_view part);

bool wait_until(const std::function<bool()>& condition, int milliseconds = 10000);

// Sources without a mistake in them.
extern const std::string_view mugs;      // one firing, `mugs`
extern const std::string_view class_day; // two, `thin` and `thick`

// A firing of the given name and peak.
std::string firing(std::string_view name, std::string_view peak = "1000C");

} // namespace fettle::cli_test
