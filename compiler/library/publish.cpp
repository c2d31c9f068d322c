#include "compiler/library/publish.h"

#include "compiler/library/difference_text.h"
#include "compiler/library/firing_facts.h"
#include "compiler/library/licences.h"
#include "compiler/library/sources.h"
#include "compiler/library/tar.h"
#include "compiler/lowering/prove.h"

#include <fmt/format.h>

#include <filesystem>

namespace fettle {
namespace {

void check_manifest(const LibraryVersion& version, std::vector<std::string>& wrong) {
    const Manifest& manifest = version.library.manifest;
    if (const std::string why = wrong_licence(manifest.licence); !why.empty())
        wrong.push_back(fmt::format("its licence: {}; say under which terms others may use it, as "
                                    "in `licence \"CC-BY-4.0\"`",
                                    why));
    if (manifest.about.empty())
        wrong.emplace_back("it says nothing about itself: add `about \"…\"`");
    if (!version.library.version.build.empty())
        wrong.emplace_back("its version has a `+` tail, which says nothing about the order");
    if (archive_name(manifest.name, version.library.version).size() > longest_archive_top)
        wrong.emplace_back("its name and version together are too long");
    for (const LibraryNeed& need : manifest.needs) {
        if (!need.from.empty() && !is_public_address(need.from))
            wrong.push_back(fmt::format(
                "it takes `{0}` from `{1}`, which means nothing elsewhere: leave `from` out "
                "(archives that lie beside each other find each other), and give `--shelf DIR` "
                "where you resolve it",
                need.name, need.from));
    }
}

void check_meaning(const LibraryVersion& version, const Cache& cache, unsigned threads,
                   Publishing& result) {
    CompiledVersion compiled(version, cache);
    if (const std::string error = compiled.first_error(); !error.empty()) {
        result.wrong.push_back(fmt::format("it does not compile: {}", error));
        return;
    }
    const Compilation& compilation = compiled.compilation();
    const Program& program = compilation.program();
    const std::vector<DeclarationId> firings = compilation.firings();
    const std::vector<FiringFacts> facts = compile_facts(compilation, firings, threads);
    result.firings = firings.size();
    for (std::size_t i = 0; i < firings.size(); ++i) {
        if (!facts[i].ok)
            result.wrong.push_back(fmt::format("its firing `{}` does not compile: {}",
                                               program.name(program.declarations[firings[i]].name),
                                               facts[i].refused));
    }
    for (const DeclarationId id : compilation.tests()) {
        Diagnostics said;
        const TestOutcome outcome = run_test(compilation.context(), id, said);
        ++result.tests;
        if (!outcome.passed)
            result.wrong.push_back(fmt::format("its test \"{}\" fails", outcome.title));
    }
}

void check_difference(const LibraryVersion& version, const LibraryVersion& last, const Cache& cache,
                      unsigned threads, Publishing& result) {
    std::string problem;
    result.change = difference(last, version, cache, threads, problem);
    if (!result.change) {
        result.wrong.push_back(problem);
        return;
    }
    const Verdict told = verdict(*result.change);
    if (result.change->demands == VersionStep::same)
        result.wrong.push_back(fmt::format("nothing changed since {}", last.shown));
    else if (!told.rises_enough)
        result.wrong.push_back(fmt::format("its version does not rise enough. {}", told.words));
}

} // namespace

Publishing check_for_publishing(const LibraryVersion& version,
                                const std::optional<LibraryVersion>& last, const Cache& cache,
                                unsigned threads) {
    Publishing result;
    check_manifest(version, result.wrong);
    check_meaning(version, cache, threads, result);
    if (last && result.wrong.empty())
        check_difference(version, *last, cache, threads, result);
    return result;
}

std::string last_archive(const std::string& folder, std::string_view name, const Version& version) {
    namespace fs = std::filesystem;
    std::string found;
    std::optional<Version> newest;
    std::error_code trouble;
    fs::directory_iterator entry(folder.empty() ? "." : folder, trouble);
    for (; !trouble && entry != fs::directory_iterator(); entry.increment(trouble)) {
        const std::string file = entry->path().filename().string();
        const std::optional<Version> at = version_in_archive_name(file, name);
        if (!at || precedence(*at, version) >= 0 || (newest && precedence(*at, *newest) < 0))
            continue;
        newest = at;
        found = (folder.empty() ? "" : folder + "/") + file;
    }
    return found;
}

} // namespace fettle
