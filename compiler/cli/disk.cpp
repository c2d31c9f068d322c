#include "compiler/cli/disk.h"

#include "compiler/cli/terminal.h"
#include "compiler/library/descriptor.h"

#include <fmt/format.h>

#include <algorithm>
#include <cerrno>
#include <fcntl.h>
#include <filesystem>
#include <sys/stat.h>
#include <unistd.h>

namespace fettle {
namespace {

constexpr std::size_t largest_file = std::size_t{16} << 20U; // limit of the language

// Up to one byte past the limit.
std::optional<std::string> read_all(int descriptor, std::size_t expected, std::string& problem) {
    std::string text;
    text.resize(std::min(expected, largest_file) + 1);
    std::size_t size = 0;
    while (size <= largest_file) {
        if (size == text.size())
            text.resize(std::min(2 * size + 4096, largest_file + 1));
        const ssize_t got = ::read(descriptor, text.data() + size, text.size() - size);
        if (got < 0 && errno == EINTR)
            continue;
        if (got < 0) {
            problem = words_of_error(errno);
            return std::nullopt;
        }
        if (got == 0)
            break;
        size += static_cast<std::size_t>(got);
    }
    text.resize(size);
    return text;
}

std::string_view what_it_is(mode_t mode) {
    if (S_ISDIR(mode))
        return "it is a folder, not a file";
    if (S_ISFIFO(mode))
        return "it is a pipe, not a file (write `-` to read what comes through a pipe)";
    if (S_ISSOCK(mode))
        return "it is a socket, not a file";
    return "it is a device, not a file (write `-` to read what is typed or piped)";
}

// A module is looked for in the folders above, too: further up than the root there is none.
bool is_above_root(std::string_view path, std::size_t depth) {
    std::size_t ups = 0;
    for (; path.starts_with("../"); path.remove_prefix(3))
        ++ups;
    return ups > depth;
}

bool is_link(const std::string& path) {
    struct stat status {};
    return ::lstat(path.c_str(), &status) == 0 && S_ISLNK(status.st_mode);
}

} // namespace

DiskFiles::DiskFiles() {
    std::error_code trouble;
    const std::string here = std::filesystem::current_path(trouble).string();
    depth_ = trouble ? std::string::npos
                     : static_cast<std::size_t>(std::count(here.begin(), here.end(), '/'));
}

std::optional<std::string> DiskFiles::read(const std::string& path, std::string& problem) {
    if (path == standard_input && standard_input_)
        return standard_input_;
    ++asked_for_[path];
    if (path.find('\0') != std::string::npos || is_above_root(path, depth_))
        return std::nullopt;
    // Without O_NONBLOCK, opening a pipe would wait for someone to write into it.
    const Descriptor file(::open(path.c_str(), O_RDONLY | O_CLOEXEC | O_NONBLOCK | O_NOCTTY));
    if (file.number() < 0) {
        if (errno == ENOENT && is_link(path)) {
            problem = "it is a link to something that is not there";
        } else if (errno != ENOENT && errno != ENOTDIR) {
            problem = words_of_error(errno);
        }
        return std::nullopt;
    }
    struct stat status {};
    if (::fstat(file.number(), &status) != 0) {
        problem = words_of_error(errno);
        return std::nullopt;
    }
    if (!S_ISREG(status.st_mode)) {
        problem = what_it_is(status.st_mode);
        return std::nullopt;
    }
    return read_all(file.number(), static_cast<std::size_t>(status.st_size), problem);
}

std::vector<std::string> DiskFiles::asked_for() const {
    std::vector<std::string> paths;
    for (const auto& [path, times] : asked_for_)
        paths.push_back(path);
    return paths;
}

std::optional<std::string> read_standard_input(std::string& problem) {
    return read_all(STDIN_FILENO, 0, problem);
}

std::string tidy_path(std::string_view path) {
    namespace fs = std::filesystem;
    const fs::path given(path);
    std::error_code trouble;
    fs::path tidy = given;
    if (given.is_absolute()) {
        const fs::path here = fs::current_path(trouble);
        if (!trouble)
            tidy = given.lexically_relative(here);
        if (tidy.empty())
            tidy = given;
    }
    // "a/../b" is "b" only where `a` is no link to somewhere else.
    const fs::path normal = tidy.lexically_normal();
    if (normal == tidy || !fs::exists(tidy, trouble) || fs::equivalent(normal, tidy, trouble))
        tidy = normal;
    std::string text = tidy.generic_string();
    while (text.size() > 1 && text.back() == '/')
        text.pop_back();
    return text;
}

bool is_folder(const std::string& path) {
    struct stat status {};
    return ::stat(path.c_str(), &status) == 0 && S_ISDIR(status.st_mode);
}

bool is_there(const std::string& path) {
    struct stat status {};
    return ::lstat(path.c_str(), &status) == 0;
}

std::vector<std::string> fettle_files_below(const std::string& folder,
                                            std::vector<std::string>& problems) {
    namespace fs = std::filesystem;
    std::vector<std::string> files;
    std::vector<std::string> folders = {folder};
    while (!folders.empty()) {
        const std::string at = std::move(folders.back());
        folders.pop_back();
        std::error_code trouble;
        fs::directory_iterator entries(at, trouble);
        for (; !trouble && entries != fs::directory_iterator(); entries.increment(trouble)) {
            const std::string name = entries->path().filename().string();
            if (name.empty() || name.front() == '.')
                continue;
            std::string path = at == "." ? name : (at == "/" ? at + name : at + "/" + name);
            std::error_code ignored;
            if (entries->symlink_status(ignored).type() == fs::file_type::directory) {
                folders.push_back(std::move(path));
            } else if (name.size() > 7 && name.ends_with(".fettle") && !is_folder(path)) {
                files.push_back(std::move(path));
            }
        }
        if (trouble) {
            problems.push_back(fmt::format("the folder `{}` can't be read: {}", at,
                                           words_of_error(trouble.value())));
        }
    }
    std::sort(files.begin(), files.end());
    return files;
}

} // namespace fettle
