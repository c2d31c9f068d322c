#include "compiler/library/cache.h"

#include "compiler/library/files.h"
#include "compiler/source/sha256.h"

#include <fmt/format.h>

#include <filesystem>

namespace fettle {
namespace {

namespace fs = std::filesystem;

} // namespace

std::string Cache::folder_of(std::string_view digest) const {
    return fmt::format("{}/contents/{}/", folder_, digest);
}

bool Cache::holds(std::string_view digest, const std::vector<FileHash>& files,
                  std::string& problem) const {
    const std::string at = folder_of(digest);
    for (const FileHash& file : files) {
        std::string why;
        const std::optional<std::string> bytes =
            read_file(at + file.path, largest_library_file, why);
        if (!bytes || sha256_of(*bytes) != file.sha256) {
            problem = fmt::format("`{}`: {}", file.path, bytes ? "it was changed" : why);
            return false;
        }
    }
    return true;
}

bool Cache::put(const Contents& contents, std::string& problem) const {
    const std::vector<FileHash> hashes = hashes_of(contents);
    const std::string digest = digest_of(hashes);
    if (!make_folder(folder_ + "/contents", problem))
        return false;
    const FileLock held(folder_ + "/lock");
    if (!held.ok()) {
        problem = fmt::format("nothing can be written into the cache `{}`", folder_);
        return false;
    }
    std::string ignored;
    if (holds(digest, hashes, ignored))
        return true;
    // Whoever holds the lock is the only writer: what lies here was left by one that was killed.
    const std::string hidden = folder_ + "/unfinished";
    std::error_code trouble;
    fs::remove_all(hidden, trouble);
    for (const ContentFile& file : contents) {
        const std::string path = hidden + "/" + file.path;
        if (!make_folder(path.substr(0, path.rfind('/')), problem) ||
            !write_file(path, file.bytes, problem)) {
            fs::remove_all(hidden, trouble);
            return false;
        }
    }
    const std::string place = folder_of(digest);
    fs::remove_all(place, trouble); // a damaged one
    fs::rename(hidden, place.substr(0, place.size() - 1), trouble);
    if (trouble)
        problem = fmt::format("`{}` could not be written: {}", place, trouble.message());
    return !trouble;
}

} // namespace fettle
