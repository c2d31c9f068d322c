// `fettle library catalogue`.
#include "compiler/cli/disk.h"
#include "compiler/cli/libraries.h"
#include "compiler/cli/output_folder.h"
#include "compiler/cli/output_formats.h"
#include "compiler/cli/progress.h"
#include "compiler/cli/stopping.h"
#include "compiler/cli/terminal.h"
#include "compiler/library/catalogue.h"
#include "compiler/source/characters.h"

#include <fmt/format.h>

#include <algorithm>
#include <iterator>

namespace fettle {
namespace {

// What each firing has for taking away.
constexpr std::string_view taken_away[] = {"csv", "json", "svg", "card"};

ExitCode refuse(const std::string& problem, ExitCode code = ExitCode::errors) {
    say(fmt::format("error: {}\nNothing was written.", visible(problem)));
    return code;
}

// Folders with libraries, and archives.
std::vector<std::string> versions_given(const LibraryOptions& options, ExitCode& code) {
    std::vector<std::string> folders;
    std::vector<std::string> found;
    for (const std::string& given : options.given) {
        if (given.ends_with(".tar"))
            found.push_back(tidy_path(given));
        else
            folders.push_back(given);
    }
    if (!folders.empty() || found.empty()) {
        for (const std::string& root : library_folders(folders, code))
            found.push_back(root.empty() ? "" : root.substr(0, root.size() - 1));
    }
    return found;
}

} // namespace

ExitCode make_catalogues(const LibraryOptions& options) {
    const Cache cache(cache_folder());
    ExitCode code = ExitCode::well;
    std::string problem;
    std::vector<LibraryVersion> versions;
    for (const std::string& given : versions_given(options, code)) {
        auto version = open_version(given, "", cache, problem,
                                    options.shelf.empty() ? "" : tidy_path(options.shelf));
        if (!version)
            return refuse(problem);
        versions.push_back(std::move(*version));
    }
    if (code != ExitCode::well || versions.empty())
        return worse(code, ExitCode::errors);
    std::vector<CatalogueFormat> formats;
    for (const OutputFormat& format : output_formats()) {
        if (std::find(std::begin(taken_away), std::end(taken_away), format.name) ==
            std::end(taken_away))
            continue;
        formats.push_back({format.name, format.ending, format.needs,
                           [&format](std::string& text, const FiringDocument& document) {
                               format.append(text, document, {});
                           }});
    }
    const std::string into = tidy_path(options.into.empty() ? "catalogue" : options.into);
    OutputFolder folder(into);
    stop_on_signals();
    std::optional<Progress> progress;
    CatalogueWork work;
    work.formats = formats;
    work.threads = threads_of(options);
    work.write = [&](const std::string& name, std::string_view text) {
        return !stop_requested() && folder.write(name, text);
    };
    work.progress = [&](std::size_t done, std::size_t all) {
        if (!progress)
            progress.emplace("pages made", all, !options.quiet);
        progress->reached(done);
    };
    const auto pages = make_catalogue(versions, cache, work, problem);
    if (stop_requested())
        return ExitCode::errors;
    if (!pages)
        return refuse(problem);
    if (!folder.problem().empty() || !folder.commit())
        return refuse(folder.problem(), ExitCode::unreadable);
    if (options.quiet)
        return ExitCode::well;
    return print(fmt::format("Wrote {} pages into {}: open {}/index.html\n", *pages, visible(into),
                             visible(into)));
}

} // namespace fettle
