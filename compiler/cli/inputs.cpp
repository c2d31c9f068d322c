#include "compiler/cli/inputs.h"

#include "compiler/cli/terminal.h"
#include "compiler/source/characters.h"

#include <fmt/format.h>

#include <unistd.h>
#include <unordered_set>

namespace fettle {
namespace {

// "mugs.fettle:slabs" in two, unless a file of the whole name exists.
std::pair<std::string, std::string> split_name(const std::string& argument) {
    const std::size_t colon = argument.rfind(':');
    if (colon == std::string::npos || colon == 0 || is_there(argument))
        return {argument, ""};
    return {argument.substr(0, colon), argument.substr(colon + 1)};
}

void take_standard_input(DiskFiles& files, Diagnostics& diagnostics) {
    if (::isatty(STDIN_FILENO) == 1)
        say("Type or paste the firing; Ctrl-D on an empty line ends it.");
    std::string problem;
    if (std::optional<std::string> text = read_standard_input(problem)) {
        files.give_standard_input(std::move(*text));
    } else {
        diagnostics.report(DiagnosticKind::file_unreadable,
                           fmt::format("standard input can't be read: {}", problem));
        files.give_standard_input("");
    }
}

void add_folder(Inputs& inputs, const std::string& folder, Diagnostics& diagnostics) {
    std::vector<std::string> problems;
    const std::vector<std::string> found = fettle_files_below(folder, problems);
    for (std::string& problem : problems)
        diagnostics.report(DiagnosticKind::file_unreadable, std::move(problem));
    if (found.empty() && problems.empty()) {
        diagnostics.report(
            DiagnosticKind::file_not_found,
            fmt::format("there is no file that ends in `.fettle` in the folder `{}`", folder));
    }
    inputs.paths.insert(inputs.paths.end(), found.begin(), found.end());
}

} // namespace

Inputs find_inputs(const std::vector<std::string>& arguments, DiskFiles& files,
                   Diagnostics& diagnostics) {
    Inputs inputs;
    bool standard_input_taken = false;
    for (const std::string& argument : arguments) {
        auto [path, name] = split_name(argument);
        if (path == "-" || path == standard_input) {
            path = standard_input;
            if (!standard_input_taken)
                take_standard_input(files, diagnostics);
            standard_input_taken = true;
        } else {
            path = tidy_path(path);
        }
        if (name.empty())
            inputs.everything = true;
        else
            inputs.named.push_back({path, name});
        if (path != standard_input && is_folder(path))
            add_folder(inputs, path, diagnostics);
        else
            inputs.paths.push_back(path);
    }
    std::unordered_set<std::string> seen;
    std::erase_if(inputs.paths, [&](const std::string& path) { return !seen.insert(path).second; });
    return inputs;
}

std::string describe(const Inputs& inputs) {
    if (inputs.paths.empty())
        return "no file";
    const std::string first = visible(inputs.paths.front());
    const std::size_t others = inputs.paths.size() - 1;
    if (others == 0)
        return first;
    return fmt::format("{} and {} other file{}", first, others, others == 1 ? "" : "s");
}

} // namespace fettle
