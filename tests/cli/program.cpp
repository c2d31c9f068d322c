#include "tests/cli/program.h"

#include <algorithm>
#include <chrono>
#include <cstdlib>
#include <fcntl.h>
#include <fstream>
#include <pty.h>
#include <sstream>
#include <sys/ioctl.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <thread>
#include <unistd.h>

namespace fettle::cli_test {

namespace fs = std::filesystem;

const std::string_view mugs = R"(firing mugs "Mugs, Tuesday class" {
    phase drying "Drive off the last water" {
        ramp to 80C at 60C/h
        soak 2h
    }
    phase top {
        ramp to 1000C at 100C/h
        soak 10m
    }
    phase cooling { cool to 60C freely }
}
)";

const std::string_view class_day = R"(template simple(top: Temperature) {
    phase up { ramp to top at 100C/h }
    phase cooling { cool to 60C freely }
}

firing thin = simple(top: 1000C) "Thin ware"
firing thick = simple(top: 990C) "Thick ware"
)";

std::string firing(std::string_view name, std::string_view peak) {
    return "firing " + std::string(name) + " { phase up { ramp to " + std::string(peak) +
           " at 100C/h } }\n";
}

Folder::Folder() {
    std::string pattern = (fs::temp_directory_path() / "fettle-test-XXXXXX").string();
    path_ = ::mkdtemp(pattern.data());
}

Folder::~Folder() {
    std::error_code ignored;
    fs::remove_all(path_, ignored);
}

void Folder::write(std::string_view name, std::string_view text) const {
    fs::create_directories(path(name).parent_path());
    std::ofstream(path(name), std::ios::binary) << text;
}

std::string Folder::read(std::string_view name) const {
    std::ostringstream text;
    text << std::ifstream(path(name), std::ios::binary).rdbuf();
    return text.str();
}

bool Folder::has(std::string_view name) const {
    return fs::exists(fs::symlink_status(path(name)));
}

std::vector<std::string> Folder::list(std::string_view name) const {
    std::vector<std::string> names;
    for (const auto& entry : fs::directory_iterator(path(name)))
        names.push_back(entry.path().filename().string());
    std::sort(names.begin(), names.end());
    return names;
}

namespace {

int code_of(int status) {
    return WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
}

void redirect(int descriptor, const fs::path& file, int flags) {
    const int opened = ::open(file.c_str(), flags, 0666);
    ::dup2(opened, descriptor);
    ::close(opened);
}

// In the child; does not return.
[[noreturn]] void become_program(const Folder& folder, const Words& words, const Setting& setting) {
    std::vector<char*> arguments = {const_cast<char*>("fettle")};
    for (const std::string& word : words)
        arguments.push_back(const_cast<char*>(word.c_str()));
    arguments.push_back(nullptr);
    ::unsetenv("NO_COLOR");
    ::setenv("TERM", "xterm", 1);
    for (const std::string& variable : setting.environment)
        ::putenv(const_cast<char*>(variable.c_str()));
    if (setting.largest_file > 0) {
        const rlimit limit{static_cast<rlim_t>(setting.largest_file),
                           static_cast<rlim_t>(setting.largest_file)};
        ::setrlimit(RLIMIT_FSIZE, &limit);
    }
    if (setting.as_nobody && ::geteuid() == 0 && ::setuid(65534) != 0)
        ::_exit(126);
    if (::chdir(folder.path().c_str()) == 0)
        ::execv(FETTLE_PROGRAM, arguments.data());
    ::_exit(127);
}

} // namespace

Ended run(const Folder& folder, const Words& words, const Setting& setting) {
    const Folder caught;
    caught.write("in", setting.input);
    const fs::path out =
        setting.results_into.empty() ? caught.path("out") : fs::path(setting.results_into);
    const pid_t process = ::fork();
    if (process == 0) {
        redirect(0, caught.path("in"), O_RDONLY);
        redirect(1, out, O_WRONLY | O_CREAT);
        redirect(2, caught.path("err"), O_WRONLY | O_CREAT);
        become_program(folder, words, setting);
    }
    int status = 0;
    ::waitpid(process, &status, 0);
    return {code_of(status), caught.read("out"), caught.read("err")};
}

Ended run_on_terminal(const Folder& folder, const Words& words, const Setting& setting) {
    int terminal = -1;
    winsize size{};
    size.ws_col = 100;
    size.ws_row = 40;
    const pid_t process = ::forkpty(&terminal, nullptr, nullptr, &size);
    if (process == 0)
        become_program(folder, words, setting);
    Ended ended;
    char piece[4096];
    for (;;) {
        const ssize_t got = ::read(terminal, piece, sizeof piece);
        if (got <= 0)
            break; // the other end is closed
        ended.out.append(piece, static_cast<std::size_t>(got));
    }
    ::close(terminal);
    int status = 0;
    ::waitpid(process, &status, 0);
    ended.code = code_of(status);
    return ended;
}

Running::Running(const Folder& folder, const Words& words, const std::string& out_file,
                 const std::string& err_file) {
    process_ = ::fork();
    if (process_ == 0) {
        redirect(0, "/dev/null", O_RDONLY);
        redirect(1, folder.path(out_file), O_WRONLY | O_CREAT | O_TRUNC);
        redirect(2, folder.path(err_file), O_WRONLY | O_CREAT | O_TRUNC);
        become_program(folder, words, {});
    }
}

Running::~Running() {
    if (process_ > 0) {
        ::kill(process_, SIGKILL);
        wait();
    }
}

void Running::signal(int number) const {
    ::kill(process_, number);
}

int Running::wait() {
    int status = 0;
    ::waitpid(process_, &status, 0);
    process_ = -1;
    return code_of(status);
}

testing::AssertionResult has(std::string_view text, std::string_view part) {
    if (text.find(part) != std::string_view::npos)
        return testing::AssertionSuccess();
    return testing::AssertionFailure() << "no \"" << part << "\" in:\n" << text;
}

testing::AssertionResult lacks(std::string_view text, std::string_view part) {
    if (text.find(part) == std::string_view::npos)
        return testing::AssertionSuccess();
    return testing::AssertionFailure() << "\"" << part << "\" is in:\n" << text;
}

bool wait_until(const std::function<bool()>& condition, int milliseconds) {
    using namespace std::chrono_literals;
    for (int waited = 0; waited < milliseconds; waited += 20) {
        if (condition())
            return true;
        std::this_thread::sleep_for(20ms);
    }
    return condition();
}

} // namespace fettle::cli_test
