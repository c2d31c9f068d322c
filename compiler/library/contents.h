// What a version of a library consists of: its files, and their hashes. Everything that is locked,
// cached or published goes through here, and so does every path that comes from outside.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace fettle {

struct ContentFile {
    std::string path; // below the library's folder, with forward slashes
    std::string bytes;
};
using Contents = std::vector<ContentFile>; // in the order of the bytes of their paths

struct FileHash {
    std::string path;
    std::string sha256;
    bool operator==(const FileHash&) const = default;
};

inline constexpr std::size_t most_library_files = 20000;
inline constexpr std::uint64_t largest_library_file = std::uint64_t{16} << 20U;
inline constexpr std::uint64_t largest_library = std::uint64_t{256} << 20U;
// So that with the folder of an archive around it, a path fits into any tar.
inline constexpr std::size_t longest_library_path = 120;

// The files of a folder that belong to the library in it: sources, pages (.md, .txt), tables (.csv)
// and licences; without hidden ones, `library.lock`, and what belongs to another library below it.
// Links, names that not every disk keeps, and sizes out of bounds are a `problem`.
std::optional<Contents> read_contents(const std::string& folder, std::string& problem);

// By its path: is it hidden, or of a kind that no library has?
bool belongs_to_library(std::string_view path);
// Without the files of other libraries below this one.
Contents without_others(Contents files);

// May a file of that path be written below a folder, on any disk? Latin letters, digits, `_ - .`
// and `/`; nothing that leads out of the folder.
bool is_safe_path(std::string_view path, std::string& problem);
// Paths that differ in capitals only would be one file on many disks. They must be safe.
bool are_distinct(const Contents& contents, std::string& problem);

std::vector<FileHash> hashes_of(const Contents& contents);
// A line for each file as `sha256sum` prints it; the SHA-256 of these lines names the contents.
std::string hash_lines(const std::vector<FileHash>& hashes);
std::string digest_of(const std::vector<FileHash>& hashes);

const ContentFile* find_file(const Contents& contents, std::string_view path);

} // namespace fettle
