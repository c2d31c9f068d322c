// The disk, as libraries need it: texts of bounded size in, files whole or not at all out.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace fettle {

// Nothing: `problem` says why, in plain words ("there is no such file", "it is larger than 16
// MiB").
std::optional<std::string> read_file(const std::string& path, std::uint64_t largest,
                                     std::string& problem);
// Under a temporary name beside its place, then renamed.
bool write_file(const std::string& path, std::string_view bytes, std::string& problem);
// With the folders above it.
bool make_folder(const std::string& path, std::string& problem);

// Keeps other processes of ours out while it lives; the system lets go of it when the process ends
// in any way.
class FileLock {
  public:
    explicit FileLock(const std::string& path);
    ~FileLock();
    FileLock(const FileLock&) = delete;
    FileLock& operator=(const FileLock&) = delete;
    bool ok() const { return file_ >= 0; }

  private:
    int file_;
};

// "studio/" + "../glazes" → "glazes/"; "" is the folder at hand. Always with a '/' at the end, but
// for "". An absolute `path` stays one.
std::string folder_from(std::string_view base, std::string_view path);
// The same for a file: no '/' at the end.
std::string file_from(std::string_view base, std::string_view path);

// How a path (as from the folder at hand) is written as from the folder `base`. "" stays "".
std::string place_from(const std::string& base, const std::string& path);

} // namespace fettle
