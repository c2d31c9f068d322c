#include "compiler/cli/watch.h"

#include "compiler/cli/disk.h"
#include "compiler/cli/stopping.h"
#include "compiler/cli/terminal.h"
#include "compiler/source/characters.h"

#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <map>
#include <sys/stat.h>
#include <thread>

namespace fettle {
namespace {

using namespace std::chrono_literals;

constexpr auto pause = 100ms; // between two looks; what was saved has to rest for one of them

// What of a file changes when it is written anew. All 0: there is no such file.
struct Signature {
    std::int64_t seconds = 0, nanoseconds = 0, size = 0;
    std::uint64_t number = 0; // of the inode: editors put a new file in the place of the old one
    bool operator==(const Signature&) const = default;
};
using Look = std::map<std::string, Signature>;

Signature signature_of(const std::string& path) {
    struct stat status {};
    if (::stat(path.c_str(), &status) != 0)
        return {};
    return {status.st_mtim.tv_sec, status.st_mtim.tv_nsec, status.st_size, status.st_ino};
}

Look look(const std::vector<std::string>& read, const std::vector<std::string>& inputs) {
    Look found;
    for (const std::string& path : read)
        found[path] = signature_of(path);
    for (const std::string& input : inputs) {
        if (!is_folder(input))
            continue;
        std::vector<std::string> ignored;
        for (const std::string& path : fettle_files_below(tidy_path(input), ignored))
            found[path] = signature_of(path);
    }
    return found;
}

std::string first_difference(const Look& before, const Look& after) {
    for (const auto& [path, signature] : after) {
        const auto old = before.find(path);
        if (old == before.end() || old->second != signature)
            return path;
    }
    for (const auto& [path, signature] : before) {
        if (after.find(path) == after.end())
            return path;
    }
    return "";
}

// The file that changed; empty when it is time to end.
std::string wait_for_change(const Look& before, const std::vector<std::string>& read,
                            const std::vector<std::string>& inputs) {
    Look last = before;
    while (!stop_requested()) {
        std::this_thread::sleep_for(pause);
        Look now = look(read, inputs);
        const bool at_rest = now == last;
        last = std::move(now);
        if (!at_rest)
            continue;
        if (std::string changed = first_difference(before, last); !changed.empty())
            return changed;
    }
    return "";
}

} // namespace

void declare(Arguments& arguments, WatchOptions& options) {
    arguments.flag("-w,--watch", options.on, "Again whenever a file is saved; Ctrl-C ends it");
    arguments.hidden_number("--watch-runs", options.runs, 1, 1000000); // for tests
}

ExitCode watched(const WatchOptions& options, const std::vector<std::string>& inputs,
                 const std::function<ExitCode(std::vector<std::string>&)>& work) {
    std::vector<std::string> read;
    if (!options.on)
        return work(read);
    if (std::find(inputs.begin(), inputs.end(), "-") != inputs.end()) {
        say("error: standard input can't be watched, only files can");
        return ExitCode::usage;
    }
    stop_on_signals();
    for (unsigned run = 1;; ++run) {
        const Look before = look(read, inputs); // changes during the work count, too
        const ExitCode ended = work(read);
        if (ended == ExitCode::usage || run == options.runs || stop_requested())
            return ended;
        Look known = look(read, inputs);
        for (const auto& [path, signature] : before)
            known[path] = signature;
        const std::string changed = wait_for_change(known, read, inputs);
        if (changed.empty())
            return ended;
        say(fmt::format("\n-------- {} changed --------\n", visible(changed)));
    }
}

} // namespace fettle
