#include "compiler/cli/output_folder.h"

#include "compiler/cli/terminal.h"

#include <fmt/format.h>

#include <algorithm>
#include <cerrno>
#include <cstdlib>
#include <dirent.h>
#include <fcntl.h>
#include <set>
#include <sys/file.h>
#include <sys/random.h>
#include <sys/stat.h>
#include <unistd.h>

namespace fettle {
namespace {

constexpr std::string_view hidden_prefix = ".fettle-";
constexpr std::size_t run_letters = 6;

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

// ".fettle-k3x9q2-17" in the name of the run, ".fettle-k3x9q2-", and the rest; empty: something
// else.
std::string run_of(std::string_view name) {
    const std::size_t length = hidden_prefix.size() + run_letters + 1;
    if (name.size() <= length || !name.starts_with(hidden_prefix) || name[length - 1] != '-' ||
        name.find_first_not_of("0123456789", length) != std::string_view::npos) {
        return "";
    }
    return std::string(name.substr(0, length));
}

std::string new_run() {
    constexpr std::string_view letters = "abcdefghijklmnopqrstuvwxyz012345"; // 32 of them
    unsigned char random[run_letters] = {};
    (void)!::getrandom(random, sizeof random, 0);
    std::string run(hidden_prefix);
    for (const unsigned char byte : random)
        run += letters[byte % letters.size()];
    return run + '-';
}

int write_text(int file, std::string_view text, unsigned mode) {
    while (!text.empty()) {
        const ssize_t written = ::write(file, text.data(), text.size());
        if (written >= 0)
            text.remove_prefix(static_cast<std::size_t>(written));
        else if (errno != EINTR)
            return errno;
    }
    return mode != 0 && ::fchmod(file, mode) != 0 ? errno : 0;
}

int write_file(int folder, const std::string& name, std::string_view text, unsigned mode) {
    const int file = ::openat(folder, name.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
    if (file < 0)
        return errno;
    const int error = write_text(file, text, mode);
    return ::close(file) != 0 && error == 0 && errno != EINTR ? errno : error;
}

} // namespace

OutputFolder::OutputFolder(std::string path) : path_(std::move(path)) {
    while (path_.size() > 1 && path_.back() == '/')
        path_.pop_back();
}

OutputFolder::~OutputFolder() {
    for (auto file = prepared_.rbegin(); file != prepared_.rend(); ++file)
        ::unlinkat(folder_, file->hidden.c_str(), 0);
    if (lock_ >= 0)
        ::close(lock_);
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
    return open_lock();
}

bool OutputFolder::open_lock() {
    for (int attempt = 0; attempt < 100; ++attempt) {
        run_ = new_run();
        lock_ =
            ::openat(folder_, (run_ + '0').c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
        if (lock_ < 0 && errno == EEXIST)
            continue;
        if (lock_ < 0)
            break;
        struct stat status {};
        // Another run may have taken it for a leftover before it was locked.
        if (::flock(lock_, LOCK_EX | LOCK_NB) == 0 && ::fstat(lock_, &status) == 0 &&
            status.st_nlink > 0) {
            return true;
        }
        ::close(lock_);
        lock_ = -1;
    }
    fail(fmt::format("nothing can be written into `{}`", path_), errno);
    return false;
}

void OutputFolder::clear_leftovers() {
    const int copy = ::openat(folder_, ".", O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    DIR* entries = copy < 0 ? nullptr : ::fdopendir(copy);
    if (entries == nullptr)
        return;
    std::set<std::string> runs;
    while (const dirent* entry = ::readdir(entries)) {
        if (std::string run = run_of(entry->d_name); !run.empty())
            runs.insert(std::move(run));
    }
    for (const std::string& run : runs) {
        const int lock =
            ::openat(folder_, (run + '0').c_str(), O_RDONLY | O_CLOEXEC | O_NOFOLLOW | O_NONBLOCK);
        const bool ended = lock < 0 ? errno == ENOENT : ::flock(lock, LOCK_EX | LOCK_NB) == 0;
        if (ended) {
            ::rewinddir(entries);
            while (const dirent* entry = ::readdir(entries)) {
                if (run_of(entry->d_name) == run)
                    ::unlinkat(folder_, entry->d_name, 0);
            }
        }
        if (lock >= 0)
            ::close(lock);
    }
    ::closedir(entries);
}

bool OutputFolder::write(const std::string& name, std::string_view text, unsigned mode) {
    std::string hidden;
    bool first = false;
    {
        const std::lock_guard lock(guard_);
        if (!open() || failed_)
            return false;
        first = prepared_.empty();
        hidden = run_ + std::to_string(prepared_.size());
        prepared_.push_back({name, hidden});
    }
    const int error =
        first ? write_text(lock_, text, mode) : write_file(folder_, hidden, text, mode);
    if (error == 0)
        return true;
    const std::lock_guard lock(guard_);
    fail(fmt::format("`{}` could not be written", path_of(name)), error);
    return false;
}

// The first file is moved last, since its lock guards the others.
bool OutputFolder::commit() {
    const std::lock_guard lock(guard_);
    while (!failed_ && !prepared_.empty()) {
        const Prepared& file = prepared_.back();
        if (::renameat(folder_, file.hidden.c_str(), folder_, file.name.c_str()) == 0) {
            done_.push_back(file.name);
            prepared_.pop_back();
        } else {
            fail(fmt::format("`{}` could not be written", path_of(file.name)), errno);
        }
    }
    std::sort(done_.begin(), done_.end());
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
