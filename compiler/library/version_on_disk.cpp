#include "compiler/library/version_on_disk.h"

#include "compiler/library/files.h"
#include "compiler/library/git.h"
#include "compiler/library/resolve.h"

#include <fmt/format.h>

#include <filesystem>

namespace fettle {
namespace {

namespace fs = std::filesystem;

constexpr std::uint64_t largest_lock = std::uint64_t{64} << 20U;

bool needs_others(const Manifest& manifest) {
    for (const LibraryNeed& need : manifest.needs) {
        if (need.name != "std")
            return true;
    }
    return false;
}

// What is locked beside it; where nothing is, or it does not do, what resolving comes to.
bool find_lock(LibraryVersion& version, bool archive, const std::string& shelf, const Cache& cache,
               std::string& problem) {
    if (!needs_others(version.library.manifest))
        return true;
    ResolveRequest request;
    request.root = version.root;
    request.library = &version.library;
    request.shelf = archive ? "." : place_from(version.root, shelf);
    request.standard = standard_library_version();
    std::string ignored;
    if (!archive) {
        if (const auto text =
                read_file(version.root + std::string(lock_name), largest_lock, ignored))
            request.before = parse_lock(*text, ignored);
    }
    std::optional<Lock> lock = resolve(request, cache, problem);
    if (!lock)
        return false;
    version.lock = std::move(*lock);
    return true;
}

} // namespace

std::optional<LibraryVersion> open_version(const std::string& given, const std::string& beside,
                                           const Cache& cache, std::string& problem,
                                           const std::string& shelf) {
    LibraryVersion version;
    std::error_code trouble;
    std::optional<Library> library;
    bool archive = false;
    if (fs::is_directory(given.empty() ? "." : given, trouble)) {
        version.root = folder_from("", given);
        library = read_library_folder(version.root, problem);
    } else if (fs::exists(given, trouble)) {
        library = read_library_archive(given, problem);
        version.root = folder_from("", fs::path(given).parent_path().generic_string());
        archive = true;
    } else {
        std::optional<Contents> contents = git_contents_at(beside, given, problem);
        if (!contents && problem.empty())
            problem = "it is neither a folder, nor an archive, nor a revision of this repository";
        if (contents)
            library = library_of(std::move(*contents), problem);
        version.root = beside;
    }
    if (!library) {
        problem = fmt::format("`{}`: {}", given, problem);
        return std::nullopt;
    }
    version.library = std::move(*library);
    version.shown =
        fmt::format("{} ({})", version.library.manifest.version, given.empty() ? "." : given);
    if (!find_lock(version, archive, shelf, cache, problem))
        return std::nullopt;
    return version;
}

std::optional<std::string> CompiledVersion::Files::read(const std::string& path,
                                                        std::string& problem) {
    if (const auto found = texts.find(path); found != texts.end())
        return std::string(found->second);
    if (!path.starts_with("../") && !path.starts_with('/'))
        return std::nullopt; // of the library itself, and not there
    std::string why;
    std::optional<std::string> text = read_file(file_from(root, path), largest_library_file, why);
    if (!text && why != "it is not there")
        problem = why;
    return text;
}

CompiledVersion::CompiledVersion(const LibraryVersion& version, const Cache& cache,
                                 std::string more,
                                 const std::map<std::string, const Library*>& replaced)
    : more_(std::move(more)), libraries_(files_, cache, {}) {
    files_.root = version.root;
    std::vector<std::string> paths;
    for (const ContentFile& file : version.library.contents) {
        files_.texts.emplace(file.path, file.bytes);
        if (more_.empty() && file.path.ends_with(".fettle"))
            paths.push_back(file.path);
    }
    if (!more_.empty()) { // it uses of the others what it needs
        files_.texts.emplace(std::string(more_name), more_);
        paths.emplace_back(more_name);
    }
    libraries_.give_lock("", version.lock);
    for (const auto& [name, library] : replaced) {
        const std::string folder = name + "/";
        for (const ContentFile& file : library->contents)
            files_.texts.emplace(folder + file.path, file.bytes);
        libraries_.replace(name, folder);
    }
    compilation_ = std::make_unique<Compilation>(paths, libraries_, diagnostics_,
                                                 RulesAlwaysOn::standard, &libraries_);
}

std::string CompiledVersion::first_error() const {
    for (const Diagnostic& diagnostic : diagnostics_.sorted()) {
        if (diagnostic.level != Level::error)
            continue;
        if (!diagnostic.has_span)
            return diagnostic.message;
        const SourceFile& file = compilation_->sources()[diagnostic.span.file];
        return fmt::format("{}, line {}: {}", file.path(), file.line_of(diagnostic.span.begin),
                           diagnostic.message);
    }
    return "";
}

} // namespace fettle
