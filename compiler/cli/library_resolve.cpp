// `fettle library resolve` and `verify`.
#include "compiler/cli/disk.h"
#include "compiler/cli/libraries.h"
#include "compiler/cli/terminal.h"
#include "compiler/compiler.h"
#include "compiler/library/files.h"
#include "compiler/library/resolve.h"
#include "compiler/source/characters.h"

#include <fmt/format.h>

#include <algorithm>

namespace fettle {
namespace {

constexpr std::uint64_t largest_lock = std::uint64_t{64} << 20U;
constexpr std::size_t most_shown = 8; // files that are told by name

// What is locked; nothing: there is no lock, or `problem`.
std::optional<Lock> read_lock(const std::string& root, std::string& problem) {
    std::string missing;
    const std::optional<std::string> text =
        read_file(root + std::string(lock_name), largest_lock, missing);
    if (!text)
        return std::nullopt;
    std::optional<Lock> lock = parse_lock(*text, problem);
    if (!lock)
        problem = fmt::format("`{}library.lock` is damaged: {}; delete it, and resolve again", root,
                              problem);
    return lock;
}

std::string line_of(const LockedLibrary& library, const LockedLibrary* before) {
    std::string what;
    if (before == nullptr)
        what = "new";
    else if (before->version != library.version)
        what = fmt::format("was {}", before->version);
    else
        what = before->digest == library.digest ? "as before" : "its files changed";
    return fmt::format("  {} {}  {}, from {}\n", library.name, library.version, what,
                       visible(library.source.place));
}

std::string told(const Lock& lock, const std::optional<Lock>& before) {
    std::string text;
    for (const LockedLibrary& library : lock.libraries)
        text += line_of(library, before ? find_library(*before, library.name) : nullptr);
    for (std::size_t i = 0; before && i < before->libraries.size(); ++i) {
        const LockedLibrary& old = before->libraries[i];
        if (find_library(lock, old.name) == nullptr)
            text += fmt::format("  {} {}  is needed no longer\n", old.name, old.version);
    }
    return text;
}

ExitCode resolve_one(const std::string& root, const LibraryOptions& options, const Cache& cache) {
    std::string problem;
    ResolveRequest request;
    request.root = root;
    request.update = options.update;
    request.shelf = place_from(root, options.shelf.empty() ? "" : tidy_path(options.shelf));
    request.standard = standard_library_version();
    request.before = read_lock(root, problem);
    std::optional<Lock> lock;
    if (problem.empty())
        lock = resolve(request, cache, problem);
    if (!lock) {
        say(fmt::format("error: {}", visible(problem)));
        return ExitCode::errors;
    }
    const bool changed = !request.before || !(*request.before == *lock);
    if (changed && !write_file(root + std::string(lock_name), print(*lock), problem)) {
        say(fmt::format("error: {}", visible(problem)));
        return ExitCode::unreadable;
    }
    if (options.quiet)
        return ExitCode::well;
    return print(fmt::format("{}: {} {} locked{}\n{}", shown_folder(root), lock->libraries.size(),
                             lock->libraries.size() == 1 ? "library" : "libraries",
                             changed ? "" : ", as before", told(*lock, request.before)));
}

ExitCode verify_one(const std::string& root, const LibraryOptions& options, const Cache& cache) {
    std::string problem;
    const std::optional<Lock> lock = read_lock(root, problem);
    if (!lock) {
        say(problem.empty() ? fmt::format("error: {} has no `library.lock`: run `fettle library "
                                          "resolve`",
                                          shown_folder(root))
                            : fmt::format("error: {}", visible(problem)));
        return ExitCode::errors;
    }
    std::vector<std::string> wrong = verify(root, *lock, cache);
    if (lock->standard != standard_library_version()) {
        wrong.insert(wrong.begin(), fmt::format("std {} was locked, but this Fettle has std {}",
                                                lock->standard, standard_library_version()));
    }
    if (options.sources) {
        const std::vector<std::string> more = verify_sources(root, *lock, cache);
        wrong.insert(wrong.end(), more.begin(), more.end());
    }
    if (wrong.empty()) {
        return options.quiet ? ExitCode::well
                             : print(fmt::format("{}: all {} what was locked\n", shown_folder(root),
                                                 lock->libraries.size() == 1 ? "is" : "are"));
    }
    std::string text = fmt::format("error: {} is not what was locked\n", shown_folder(root));
    for (std::size_t i = 0; i < std::min(wrong.size(), most_shown); ++i)
        text += fmt::format("  {}\n", visible(wrong[i]));
    if (wrong.size() > most_shown)
        text += fmt::format("  and {} more\n", wrong.size() - most_shown);
    text.pop_back();
    say(text);
    return ExitCode::errors;
}

ExitCode for_each_library(const LibraryOptions& options,
                          ExitCode (*work)(const std::string&, const LibraryOptions&,
                                           const Cache&)) {
    const Cache cache(cache_folder());
    ExitCode code = ExitCode::well;
    for (const std::string& root : library_folders(options.given, code))
        code = worse(code, work(root, options, cache));
    return code;
}

} // namespace

ExitCode resolve_libraries(const LibraryOptions& options) {
    return for_each_library(options, resolve_one);
}

ExitCode verify_libraries(const LibraryOptions& options) {
    if (options.given.size() == 1 && options.given[0].ends_with(".tar"))
        return verify_archive(options.given[0], options);
    return for_each_library(options, verify_one);
}

} // namespace fettle
