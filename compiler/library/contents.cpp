#include "compiler/library/contents.h"

#include "compiler/library/files.h"
#include "compiler/source/characters.h"
#include "compiler/source/sha256.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <filesystem>
#include <map>

namespace fettle {
namespace {

namespace fs = std::filesystem;

std::string small(std::string_view text) {
    std::string result(text);
    for (char& c : result) {
        if (c >= 'A' && c <= 'Z')
            c = static_cast<char>(c + ('a' - 'A'));
    }
    return result;
}

class Reader {
  public:
    Reader(std::string folder, std::string& problem)
        : folder_(std::move(folder)), problem_(problem) {}

    bool read(const std::string& below) {
        std::error_code trouble;
        const std::string at = folder_ + below;
        std::vector<fs::directory_entry> entries;
        fs::directory_iterator entry(at.empty() ? "." : at, trouble);
        for (; !trouble && entry != fs::directory_iterator(); entry.increment(trouble))
            entries.push_back(*entry);
        if (trouble)
            return fail(at.empty() ? "." : at, "it can't be listed");
        for (const fs::directory_entry& found : entries) {
            if (!take(below, found))
                return false;
        }
        return true;
    }
    Contents contents;

  private:
    bool fail(std::string_view path, std::string_view why) {
        problem_ = fmt::format("`{}`: {}", visible(path), why);
        return false;
    }

    bool take(const std::string& below, const fs::directory_entry& found) {
        const std::string name = found.path().filename().string();
        const std::string path = below + name;
        std::error_code trouble;
        const fs::file_type type = found.symlink_status(trouble).type();
        if (name.front() == '.')
            return true;
        if (type == fs::file_type::directory) {
            const bool another = fs::exists(found.path() / "library.fettle", trouble);
            return another || read(path + "/");
        }
        if (!belongs_to_library(name))
            return true;
        if (type == fs::file_type::symlink)
            return fail(folder_ + path, "a library holds no links; put the file itself there");
        if (type != fs::file_type::regular)
            return true;
        std::string why;
        if (!is_safe_path(path, why))
            return fail(folder_ + path, why);
        std::optional<std::string> bytes = read_file(folder_ + path, largest_library_file, why);
        if (!bytes)
            return fail(folder_ + path, why);
        size_ += bytes->size();
        if (size_ > largest_library || contents.size() >= most_library_files)
            return fail(folder_ + path, "the library is too large: 256 MiB and 20 000 files are "
                                        "the most");
        contents.push_back({path, std::move(*bytes)});
        return true;
    }

    std::string folder_;
    std::string& problem_;
    std::uint64_t size_ = 0;
};

bool is_plain(char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '_' ||
           c == '-' || c == '.';
}

} // namespace

std::optional<Contents> read_contents(const std::string& folder, std::string& problem) {
    std::string root = folder;
    if (!root.empty() && root.back() != '/')
        root += '/';
    Reader reader(root, problem);
    if (!reader.read(""))
        return std::nullopt;
    std::sort(reader.contents.begin(), reader.contents.end(),
              [](const ContentFile& a, const ContentFile& b) { return a.path < b.path; });
    if (!are_distinct(reader.contents, problem))
        return std::nullopt;
    return std::move(reader.contents);
}

bool belongs_to_library(std::string_view path) {
    constexpr std::array endings = {".fettle", ".md", ".txt", ".csv"};
    constexpr std::array names = {"LICENCE", "LICENSE", "COPYING", "NOTICE", "README"};
    if (path.starts_with('.') || path.find("/.") != std::string_view::npos)
        return false;
    const std::string_view name = path.substr(path.rfind('/') + 1);
    return std::any_of(endings.begin(), endings.end(),
                       [&](std::string_view ending) { return name.ends_with(ending); }) ||
           std::any_of(names.begin(), names.end(),
                       [&](std::string_view whole) { return name == whole; });
}

Contents without_others(Contents files) {
    std::vector<std::string> others;
    for (const ContentFile& file : files) {
        if (file.path.ends_with("/library.fettle"))
            others.push_back(file.path.substr(0, file.path.rfind('/') + 1));
    }
    std::erase_if(files, [&](const ContentFile& file) {
        return std::any_of(others.begin(), others.end(),
                           [&](const std::string& other) { return file.path.starts_with(other); });
    });
    return files;
}

bool is_safe_path(std::string_view path, std::string& problem) {
    if (path.empty() || path.size() > longest_library_path) {
        problem = path.empty() ? "a file has no name" : "its path is longer than 120 letters";
        return false;
    }
    if (path.front() == '/') {
        problem = "its path starts at the root of the disk";
        return false;
    }
    for (std::string_view rest = path; !rest.empty();) {
        const std::size_t slash = rest.find('/');
        const std::string_view part = rest.substr(0, slash);
        rest.remove_prefix(slash == std::string_view::npos ? rest.size() : slash + 1);
        if (part == "..") {
            problem = "its path leads out of the folder";
            return false;
        }
        if (part.empty() || part.front() == '.' || part.back() == '.' || part.size() > 60 ||
            (rest.empty() && slash != std::string_view::npos)) {
            problem = "its path has a part that no file of a library has";
            return false;
        }
        if (!std::all_of(part.begin(), part.end(), is_plain)) {
            problem = "its name has letters or signs that not every disk keeps: use a-z, 0-9, `_` "
                      "and `-`";
            return false;
        }
    }
    return true;
}

bool are_distinct(const Contents& contents, std::string& problem) {
    // Folders too: `Clays/a` and `clays/b` would fall together.
    std::map<std::string, std::string> seen;
    for (const ContentFile& file : contents) {
        for (std::size_t slash = file.path.find('/');; slash = file.path.find('/', slash + 1)) {
            const bool whole = slash == std::string::npos;
            const std::string part = file.path.substr(0, slash) + (whole ? "" : "/");
            const auto [at, fresh] = seen.emplace(small(part), part);
            if (!fresh && (whole || at->second != part)) {
                problem = fmt::format("`{}` and `{}` would be one on many disks: rename one of "
                                      "them",
                                      at->second, part);
                return false;
            }
            if (whole)
                break;
        }
        if (seen.count(small(file.path) + "/") != 0) {
            problem = fmt::format("`{}` is a file and a folder", file.path);
            return false;
        }
    }
    return true;
}

std::vector<FileHash> hashes_of(const Contents& contents) {
    std::vector<FileHash> hashes;
    hashes.reserve(contents.size());
    for (const ContentFile& file : contents)
        hashes.push_back({file.path, sha256_of(file.bytes)});
    return hashes;
}

std::string hash_lines(const std::vector<FileHash>& hashes) {
    std::string lines;
    for (const FileHash& hash : hashes)
        lines += fmt::format("{}  {}\n", hash.sha256, hash.path);
    return lines;
}

std::string digest_of(const std::vector<FileHash>& hashes) {
    return sha256_of(hash_lines(hashes));
}

const ContentFile* find_file(const Contents& contents, std::string_view path) {
    const auto found = std::find_if(contents.begin(), contents.end(),
                                    [&](const ContentFile& file) { return file.path == path; });
    return found == contents.end() ? nullptr : &*found;
}

} // namespace fettle
