#include "compiler/cli/output_folder.h"

#include "compiler/cli/terminal.h"

#include <fmt/format.h>

#include <algorithm>
#include <cerrno>
#include <cstdlib>
#include <dirent.h>
#include <fcntl.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

namespace fettle {
namespace {

constexpr std::string_view hidden_prefix = ".fettle-";

// 0, or the number of what went wrong.
int make_folders(const std::string& path) {
    for (std::size_t slash = path.find('/', 1);; slash = path.find('/', slash + 1)) {
        const std::string part = path.substr(0, slash);
        struct stat status {};
        if (::mkdir(part.c_str(), 0777) != 0 &&
            (errno != EEXIST || ::stat(part.c_str(), &status) != 0)) {
            return errno;
        }
        if (slash == std::string::npos)
            return 0;
    }
}

// Removes a folder of plain files.
void remove_folder(int parent, const std::string& name, int folder) {
    const int copy = ::openat(folder, ".", O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    if (DIR* entries = copy < 0 ? nullptr : ::fdopendir(copy)) {
        while (const dirent* entry = ::readdir(entries)) {
            const std::string_view each = entry->d_name;
            if (each != "." && each != "..")
                ::unlinkat(folder, entry->d_name, 0);
        }
        ::closedir(entries);
    }
    ::unlinkat(parent, name.c_str(), AT_REMOVEDIR);
}

int write_file(int folder, const std::string& name, std::string_view text, unsigned mode) {
    const int file = ::openat(folder, name.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC,
                              mode == 0 ? 0666 : 0600);
    if (file < 0)
        return errno;
    int error = 0;
    while (!text.empty() && error == 0) {
        const ssize_t written = ::write(file, text.data(), text.size());
        if (written >= 0)
            text.remove_prefix(static_cast<std::size_t>(written));
        else if (errno != EINTR)
            error = errno;
    }
    if (mode != 0 && error == 0 && ::fchmod(file, mode) != 0)
        error = errno;
    if (::close(file) != 0 && error == 0 && errno != EINTR)
        error = errno;
    return error;
}

} // namespace

OutputFolder::OutputFolder(std::string path) : path_(std::move(path)) {
    while (path_.size() > 1 && path_.back() == '/')
        path_.pop_back();
}

OutputFolder::~OutputFolder() {
    if (hidden_folder_ >= 0) {
        remove_folder(folder_, hidden_, hidden_folder_);
        ::close(hidden_folder_);
    }
    if (folder_ >= 0)
        ::close(folder_);
}

std::string OutputFolder::path_of(const std::string& name) const {
    return path_ == "." ? name : (path_ == "/" ? path_ + name : path_ + "/" + name);
}

std::string OutputFolder::problem() const {
    const std::lock_guard lock(guard_);
    return problem_;
}

void OutputFolder::fail(std::string what, int error_number) {
    failed_ = true;
    if (problem_.empty())
        problem_ = fmt::format("{}: {}", what, words_of_error(error_number));
}

bool OutputFolder::open() {
    if (opened_)
        return !failed_;
    opened_ = true;
    if (const int error = make_folders(path_); error != 0) {
        fail(fmt::format("the folder `{}` could not be made", path_), error);
        return false;
    }
    folder_ = ::open(path_.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    if (folder_ < 0) {
        fail(fmt::format("nothing can be written into `{}`", path_), errno);
        return false;
    }
    clear_leftovers();
    return open_hidden();
}

// The lock tells other runs that this one is alive.
bool OutputFolder::open_hidden() {
    for (int attempt = 0; attempt < 100; ++attempt) {
        std::string pattern = path_of(std::string(hidden_prefix) + "XXXXXX");
        if (::mkdtemp(pattern.data()) == nullptr)
            break;
        hidden_ = pattern.substr(pattern.rfind('/') + 1);
        hidden_folder_ = ::openat(folder_, hidden_.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
        struct stat status {};
        // Another run may have taken it for a leftover before it was locked.
        if (hidden_folder_ >= 0 && ::flock(hidden_folder_, LOCK_EX | LOCK_NB) == 0 &&
            ::fstatat(folder_, hidden_.c_str(), &status, AT_SYMLINK_NOFOLLOW) == 0) {
            return true;
        }
        if (hidden_folder_ >= 0)
            ::close(hidden_folder_);
        hidden_folder_ = -1;
    }
    fail(fmt::format("nothing can be written into `{}`", path_), errno);
    return false;
}

void OutputFolder::clear_leftovers() {
    const int copy = ::openat(folder_, ".", O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    DIR* entries = copy < 0 ? nullptr : ::fdopendir(copy);
    if (entries == nullptr)
        return;
    while (const dirent* entry = ::readdir(entries)) {
        const std::string name = entry->d_name;
        if (!name.starts_with(hidden_prefix) || name.size() != hidden_prefix.size() + 6)
            continue;
        const int leftover =
            ::openat(folder_, name.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC | O_NOFOLLOW);
        if (leftover < 0)
            continue;
        if (::flock(leftover, LOCK_EX | LOCK_NB) == 0)
            remove_folder(folder_, name, leftover);
        ::close(leftover);
    }
    ::closedir(entries);
}

bool OutputFolder::write(const std::string& name, std::string_view text, unsigned mode) {
    {
        const std::lock_guard lock(guard_);
        if (!open())
            return false;
    }
    if (failed_)
        return false;
    const int error = write_file(hidden_folder_, name, text, mode);
    const std::lock_guard lock(guard_);
    if (error != 0) {
        fail(fmt::format("`{}` could not be written", path_of(name)), error);
        return false;
    }
    names_.push_back(name);
    return true;
}

bool OutputFolder::commit() {
    const std::lock_guard lock(guard_);
    std::sort(names_.begin(), names_.end());
    for (const std::string& name : names_) {
        if (failed_)
            break;
        if (::renameat(hidden_folder_, name.c_str(), folder_, name.c_str()) == 0)
            done_.push_back(name);
        else
            fail(fmt::format("`{}` could not be written", path_of(name)), errno);
    }
    names_.clear();
    return !failed_;
}

std::vector<std::string> OutputFolder::written() const {
    const std::lock_guard lock(guard_);
    std::vector<std::string> paths;
    for (const std::string& name : done_)
        paths.push_back(path_of(name));
    return paths;
}

} // namespace fettle
