#include "compiler/cli/earlier.h"

#include "compiler/cli/disk.h"
#include "compiler/cli/terminal.h"
#include "compiler/output/controller_table.h"
#include "compiler/output/memory_sheet.h"
#include "compiler/source/characters.h"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>

namespace fettle {
namespace {

// `.json` files of a folder, by name; those of judgements and the like are passed over later.
std::vector<std::string> json_files_in(const std::string& folder, std::string& problem) {
    namespace fs = std::filesystem;
    std::vector<std::string> files;
    std::error_code trouble;
    fs::directory_iterator entries(folder, trouble);
    for (; !trouble && entries != fs::directory_iterator(); entries.increment(trouble)) {
        const std::string path = entries->path().string();
        if (path.ends_with(".json") && !is_folder(path))
            files.push_back(tidy_path(path));
    }
    if (trouble)
        problem = trouble.message();
    std::sort(files.begin(), files.end());
    return files;
}

bool refuse(std::string_view path, std::string_view why) {
    say(fmt::format("error: `{}` can't be compared with: {}\n  give the file NAME.json that "
                    "`fettle build --as json` wrote when the firing was keyed, or a folder of them",
                    visible(path), visible(why)));
    return false;
}

bool read_one(DiskFiles& files, const std::string& path, bool alone, Earlier& earlier) {
    std::string problem;
    const auto text = files.read(path, problem);
    if (!text)
        return refuse(path, problem.empty() ? "it is not there" : problem);
    EarlierTable table = read_earlier(*text, problem);
    if (!problem.empty()) {
        // A folder may hold other files.
        return !alone && table.firing.empty() ? true : refuse(path, problem);
    }
    if (earlier.find(table.firing) != nullptr)
        return refuse(path, fmt::format("there are two files of the firing {}", table.firing));
    earlier.tables.push_back(std::move(table));
    return true;
}

std::string keys_of(const StepRow& row, const Steps& steps) {
    const PrintedKeys keys = printed_keys(row, steps);
    std::string text;
    const auto add = [&](std::string_view before, const std::string& key) {
        if (!key.empty())
            text += fmt::format("{}{}{}", text.empty() ? "" : ", ", before, key);
    };
    add("", keys.time);
    add("", keys.rate);
    add("to ", keys.target);
    add("soak ", keys.soak);
    return text;
}

// One line for each step that is to be keyed again.
void add_steps(std::string& text, const EarlierTable& before, const Steps& now,
               const KeyChanges& changes) {
    for (std::size_t i = 0; i < now.programs.size(); ++i) {
        const auto& rows = now.programs[i].rows;
        for (const std::uint32_t step : changes.programs[i].again) {
            const StepRow& row = rows[step - 1];
            text += fmt::format("\n    {}step {}: {}",
                                now.programs.size() < 2 ? "" : fmt::format("part {}, ", i + 1),
                                step, keys_of(row, now));
            const bool was =
                i < before.steps.programs.size() && step <= before.steps.programs[i].rows.size();
            text +=
                was ? fmt::format("; it was {}",
                                  keys_of(before.steps.programs[i].rows[step - 1], before.steps))
                    : "; it is new";
        }
    }
}

} // namespace

const EarlierTable* Earlier::find(std::string_view firing) const {
    const auto found = std::find_if(tables.begin(), tables.end(),
                                    [&](const auto& each) { return each.firing == firing; });
    return found == tables.end() ? nullptr : &*found;
}

std::optional<KeyChanges> Earlier::changes(const FiringDocument& document) const {
    const EarlierTable* before = find(document.name);
    if (before == nullptr || !document.steps)
        return std::nullopt;
    return key_changes(*before, *document.steps, document.schedule->delay_s,
                       document.controller.name);
}

std::optional<Earlier> read_earlier_files(const std::vector<std::string>& paths) {
    Earlier earlier;
    DiskFiles files;
    for (const std::string& typed : paths) {
        const std::string path = tidy_path(typed);
        const bool alone = !is_folder(path);
        const std::size_t before = earlier.tables.size();
        std::string problem;
        for (const std::string& file :
             alone ? std::vector<std::string>{path} : json_files_in(path, problem)) {
            if (!read_one(files, file, alone, earlier))
                return std::nullopt;
        }
        if (earlier.tables.size() == before) {
            refuse(path, problem.empty() ? "no JSON of a firing is in it" : problem);
            return std::nullopt;
        }
    }
    return earlier;
}

std::string words_of_changes(const Earlier& earlier, const FiringDocument& document,
                             std::string_view stored) {
    std::string text = visible(document.name);
    if (!stored.empty())
        text += fmt::format(" ({})", visible(stored));
    if (!document.steps)
        return text + ": there is nothing to key: it has no table of steps";
    const auto changes = earlier.changes(document);
    if (!changes)
        return text + ": not compared: no earlier file is given for it";
    if (changes->none())
        return text + ": as it is stored";
    if (!changes->all_because.empty()) {
        return text + fmt::format(": out of date; key all of it, because {}",
                                  visible(changes->all_because));
    }
    text += fmt::format(": out of date; key again: {}", again_words(*changes, *document.steps));
    add_steps(text, *earlier.find(document.name), *document.steps, *changes);
    return text;
}

} // namespace fettle
