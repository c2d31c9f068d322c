// `fettle library publish`, and `verify` of what was published.
#include "compiler/cli/disk.h"
#include "compiler/cli/libraries.h"
#include "compiler/cli/terminal.h"
#include "compiler/library/difference_text.h"
#include "compiler/library/files.h"
#include "compiler/library/publish.h"
#include "compiler/library/signature.h"
#include "compiler/library/tar.h"
#include "compiler/source/characters.h"
#include "compiler/source/sha256.h"

#include <fmt/format.h>

namespace fettle {
namespace {

constexpr std::uint64_t largest_key = 4096;

ExitCode refuse(const std::string& problem, ExitCode code = ExitCode::errors) {
    say(fmt::format("error: {}", visible(problem)));
    return code;
}

ExitCode tell_wrong(const LibraryVersion& version, const Publishing& result) {
    std::string text =
        fmt::format("error: {} {} can't be published\n", version.library.manifest.name,
                    to_string(version.library.version));
    for (const std::string& line : result.wrong)
        text += fmt::format("  {}\n", visible(line));
    if (result.change)
        text += '\n' + difference_text(*result.change, terminal_width(Channel::messages), 0);
    text += "Nothing was written.";
    say(text);
    return ExitCode::errors;
}

// A version that is there already stays as it is.
ExitCode compare_with(const std::string& path, const std::string& bytes) {
    std::string problem;
    const auto there = read_file(path, largest_archive, problem);
    if (there && *there == bytes)
        return print(fmt::format("{} is there already, and the same.\n", visible(path)));
    return refuse(fmt::format("{} is there already, and another: a published version never "
                              "changes. Raise the version in `library.fettle`",
                              path));
}

ExitCode publish_one(const std::string& root, const LibraryOptions& options, const Cache& cache) {
    std::string problem;
    const std::string into = options.into.empty() ? "." : tidy_path(options.into);
    const std::string shelf = options.shelf.empty() ? into : tidy_path(options.shelf);
    const auto version =
        open_version(root.substr(0, root.empty() ? 0 : root.size() - 1), "", cache, problem, shelf);
    if (!version)
        return refuse(problem);
    const std::string file =
        archive_name(version->library.manifest.name, version->library.version) + ".tar";
    const std::string path = into == "." ? file : into + "/" + file;
    const std::string bytes = archive_of(version->library);
    if (is_there(path))
        return compare_with(path, bytes);
    const std::string before =
        options.last.empty()
            ? last_archive(into, version->library.manifest.name, version->library.version)
            : tidy_path(options.last);
    std::optional<LibraryVersion> last;
    if (!before.empty()) {
        last = open_version(before, root, cache, problem);
        if (!last)
            return refuse(problem);
    }
    const Publishing result = check_for_publishing(*version, last, cache, threads_of(options));
    if (!result.wrong.empty())
        return tell_wrong(*version, result);
    if (!make_folder(into, problem) || !write_file(path, bytes, problem))
        return refuse(problem, ExitCode::unreadable);
    if (!options.key.empty()) {
        if (const std::string wrong = sign_file(path, options.key); !wrong.empty())
            return refuse(fmt::format("{}; {} was written without a signature", wrong, path),
                          ExitCode::unreadable);
    }
    if (options.quiet)
        return ExitCode::well;
    std::string text;
    if (result.change)
        text = difference_text(*result.change, terminal_width(Channel::results), 0) +
               verdict(*result.change).words + "\n\n";
    else
        text = "There is no version before this one to compare with.\n\n";
    text += fmt::format("Wrote {} ({} firing{}, {} test{} passed)\n  SHA-256 {}\n", visible(path),
                        result.firings, result.firings == 1 ? "" : "s", result.tests,
                        result.tests == 1 ? "" : "s", sha256_of(bytes));
    return print(text);
}

} // namespace

ExitCode publish_libraries(const LibraryOptions& options) {
    const Cache cache(cache_folder());
    ExitCode code = ExitCode::well;
    for (const std::string& root : library_folders(options.given, code))
        code = worse(code, publish_one(root, options, cache));
    return code;
}

ExitCode verify_archive(const std::string& path, const LibraryOptions& options) {
    std::string problem;
    const auto library = read_library_archive(path, problem);
    if (!library)
        return refuse(fmt::format("{}: {}", path, problem));
    const auto bytes = read_file(path, largest_archive, problem);
    std::string told =
        fmt::format("{}: {} {}, {} files, all with the right hash\n  SHA-256 {}\n", visible(path),
                    library->manifest.name, to_string(library->version), library->contents.size(),
                    sha256_of(bytes.value_or("")));
    const auto signature = read_file(path + ".sig", largest_key, problem);
    if (options.key.empty()) {
        if (signature)
            told += "  it is signed; `--key KEY.pub` checks by whom\n";
        return options.quiet ? ExitCode::well : print(told);
    }
    if (!signature)
        return refuse(fmt::format("{} is not signed: there is no {}.sig", path, path));
    const auto key = read_file(options.key, largest_key, problem);
    if (!key)
        return refuse(fmt::format("{}: {}", options.key, problem), ExitCode::unreadable);
    if (const std::string wrong = wrong_signature(*bytes, *signature, *key); !wrong.empty())
        return refuse(fmt::format("{}: {}", path, wrong));
    told += fmt::format("  signed by the key {}\n", visible(options.key));
    return options.quiet ? ExitCode::well : print(told);
}

} // namespace fettle
