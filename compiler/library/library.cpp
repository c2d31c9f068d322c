#include "compiler/library/library.h"

#include "compiler/library/files.h"
#include "compiler/library/tar.h"
#include "compiler/source/json_writer.h"

#include <fmt/format.h>

#include <algorithm>

namespace fettle {
namespace {

std::string facts_of(const Library& library) {
    const Manifest& manifest = library.manifest;
    std::string text;
    JsonWriter json(text, JsonLayout::indented);
    json.object();
    json.field("format", "fettle.library");
    json.field("format_version", 1);
    json.field("name", manifest.name);
    json.field("version", manifest.version);
    json.field("licence", manifest.licence);
    json.field("about", manifest.about);
    json.key("needs");
    json.array();
    for (const LibraryNeed& need : manifest.needs) {
        json.line_object();
        json.field("name", need.name);
        json.field("version", need.version);
        json.field("from", need.from);
        json.end_object();
    }
    json.end_array();
    json.end_object();
    json.finish();
    return text + "\n";
}

bool check_hashes(const Contents& contents, std::string_view listed, std::string& problem) {
    const std::vector<FileHash> hashes = hashes_of(contents);
    if (hash_lines(hashes) == listed)
        return true;
    for (const FileHash& hash : hashes) {
        if (listed.find(fmt::format("{}  {}\n", hash.sha256, hash.path)) ==
            std::string_view::npos) {
            problem = fmt::format("`{}` in it is not what its list of hashes says", hash.path);
            return false;
        }
    }
    problem = "its list of hashes names files that are not in it";
    return false;
}

} // namespace

std::optional<Library> library_of(Contents contents, std::string& problem) {
    const ContentFile* const file = find_file(contents, manifest_name);
    if (file == nullptr) {
        problem = "there is no `library.fettle` in it";
        return std::nullopt;
    }
    Library library;
    library.manifest = read_manifest(file->bytes);
    const std::optional<Version> version = parse_version(library.manifest.version);
    if (library.manifest.name.empty() || !version) {
        problem = library.manifest.name.empty() ? "its `library.fettle` declares no library"
                                                : "its `library.fettle` gives no version";
        return std::nullopt;
    }
    library.version = *version;
    library.contents = std::move(contents);
    return library;
}

std::optional<Library> read_library_folder(const std::string& folder, std::string& problem) {
    std::optional<Contents> contents = read_contents(folder, problem);
    if (!contents)
        return std::nullopt;
    return library_of(std::move(*contents), problem);
}

std::optional<Library> read_library_archive(const std::string& path, std::string& problem) {
    const std::optional<std::string> bytes = read_file(path, largest_archive, problem);
    if (!bytes)
        return std::nullopt;
    std::string top;
    std::optional<Contents> all = read_tar(*bytes, top, problem);
    if (!all)
        return std::nullopt;
    std::string listed;
    std::erase_if(*all, [&](const ContentFile& file) {
        if (file.path == hashes_name)
            listed = file.bytes;
        return file.path == hashes_name || file.path == facts_name;
    });
    if (!check_hashes(*all, listed, problem))
        return std::nullopt;
    std::optional<Library> library = library_of(std::move(*all), problem);
    if (library && archive_name(library->manifest.name, library->version) != top) {
        problem = fmt::format("what is in it calls itself {} {}, but lies in the folder `{}`",
                              library->manifest.name, library->manifest.version, top);
        return std::nullopt;
    }
    return library;
}

std::string archive_name(std::string_view name, const Version& version) {
    return fmt::format(
        "{}-{}", name,
        to_string({version.major, version.minor, version.patch, version.pre_release, ""}));
}

std::string archive_of(const Library& library) {
    Contents all = library.contents;
    all.push_back({std::string(facts_name), facts_of(library)});
    all.push_back({std::string(hashes_name), hash_lines(hashes_of(library.contents))});
    std::sort(all.begin(), all.end(),
              [](const ContentFile& a, const ContentFile& b) { return a.path < b.path; });
    return write_tar(archive_name(library.manifest.name, library.version), all);
}

} // namespace fettle
