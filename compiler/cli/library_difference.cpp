// `fettle library difference`.
#include "compiler/cli/disk.h"
#include "compiler/cli/libraries.h"
#include "compiler/cli/output_folder.h"
#include "compiler/cli/terminal.h"
#include "compiler/library/difference_text.h"
#include "compiler/library/files.h"
#include "compiler/source/characters.h"

#include <fmt/format.h>

#include <algorithm>

namespace fettle {
namespace {

constexpr std::size_t curves_on_terminal = 3;

ExitCode refuse(const std::string& problem) {
    say(fmt::format("error: {}", visible(problem)));
    return ExitCode::errors;
}

std::optional<Difference> find(const LibraryOptions& options, std::string& problem) {
    const Cache cache(cache_folder());
    const std::string after_given =
        options.given.size() > 1 ? tidy_path(options.given[1]) : std::string(".");
    const std::string beside =
        folder_from("", is_folder(after_given) ? after_given : std::string("."));
    const auto before =
        open_version(tidy_path(options.given[0]), beside, cache, problem, options.shelf);
    if (!before)
        return std::nullopt;
    const auto after =
        open_version(after_given == "." ? "" : after_given, beside, cache, problem, options.shelf);
    if (!after)
        return std::nullopt;
    const unsigned threads = threads_of(options);
    if (options.mine.empty())
        return difference(*before, *after, cache, threads, problem);
    const std::string folder = tidy_path(options.mine);
    const auto mine = open_version(folder == "." ? "" : folder, "", cache, problem, options.shelf);
    if (!mine)
        return std::nullopt;
    return difference_for(*mine, *before, *after, cache, threads, problem);
}

} // namespace

ExitCode tell_difference(const LibraryOptions& options) {
    if (options.given.empty() || options.given.size() > 2) {
        say("error: give the old version and the new one, each a folder, an archive or a revision "
            "of the repository\n  for example `fettle library difference v1.0.0 .`");
        return ExitCode::usage;
    }
    std::string problem;
    const std::optional<Difference> found = find(options, problem);
    if (!found)
        return refuse(problem);
    const Verdict told = verdict(*found);
    if (!options.into.empty()) {
        OutputFolder folder(tidy_path(options.into));
        folder.write("difference.html", difference_page(*found));
        folder.write("difference.json", difference_json(*found));
        if (!folder.commit()) {
            say(fmt::format("error: {}", visible(folder.problem())));
            return ExitCode::unreadable;
        }
        if (!options.quiet) {
            for (const std::string& path : folder.written())
                say(fmt::format("Wrote {}", visible(path)));
        }
    }
    if (options.form == "json")
        return print(difference_json(*found));
    std::string text;
    if (!options.quiet) {
        text = difference_text(*found, std::min<std::size_t>(terminal_width(Channel::results), 100),
                               curves_on_terminal);
    }
    if (options.mine.empty())
        text += told.words + '\n';
    const ExitCode printed = print(text);
    return options.mine.empty() && !told.rises_enough ? worse(printed, ExitCode::errors) : printed;
}

} // namespace fettle
