#include "compiler/library/files.h"

#include "compiler/library/descriptor.h"

#include <fmt/format.h>

#include <cerrno>
#include <fcntl.h>
#include <filesystem>
#include <sys/file.h>
#include <sys/stat.h>
#include <system_error>
#include <unistd.h>

namespace fettle {
namespace {

std::string words_of(int error) {
    switch (error) {
    case ENOENT:
    case ENOTDIR: return "it is not there";
    case EACCES:
    case EPERM: return "it may not be touched by this user";
    case ENOSPC: return "the disk is full";
    default: return std::generic_category().message(error);
    }
}

bool write_all(int file, std::string_view bytes) {
    while (!bytes.empty()) {
        const ssize_t written = ::write(file, bytes.data(), bytes.size());
        if (written >= 0)
            bytes.remove_prefix(static_cast<std::size_t>(written));
        else if (errno != EINTR)
            return false;
    }
    return true;
}

} // namespace

std::optional<std::string> read_file(const std::string& path, std::uint64_t largest,
                                     std::string& problem) {
    const Descriptor file(::open(path.c_str(), O_RDONLY | O_CLOEXEC | O_NONBLOCK | O_NOCTTY));
    struct stat status {};
    if (file.number() < 0 || ::fstat(file.number(), &status) != 0) {
        problem = words_of(errno);
        return std::nullopt;
    }
    if (!S_ISREG(status.st_mode)) {
        problem = S_ISDIR(status.st_mode) ? "it is a folder" : "it is not a plain file";
        return std::nullopt;
    }
    if (static_cast<std::uint64_t>(status.st_size) > largest) {
        problem = fmt::format("it is larger than {} MiB", largest >> 20U);
        return std::nullopt;
    }
    std::string bytes(static_cast<std::size_t>(status.st_size), '\0');
    std::size_t size = 0;
    while (size < bytes.size()) {
        const ssize_t got = ::read(file.number(), bytes.data() + size, bytes.size() - size);
        if (got < 0 && errno != EINTR) {
            problem = words_of(errno);
            return std::nullopt;
        }
        if (got == 0)
            break;
        size += got > 0 ? static_cast<std::size_t>(got) : 0;
    }
    bytes.resize(size);
    return bytes;
}

bool write_file(const std::string& path, std::string_view bytes, std::string& problem) {
    const std::string hidden = fmt::format("{}.{}.new", path, ::getpid());
    {
        const Descriptor file(
            ::open(hidden.c_str(), O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC, 0666));
        if (file.number() < 0 || !write_all(file.number(), bytes)) {
            problem = fmt::format("`{}` could not be written: {}", path, words_of(errno));
            ::unlink(hidden.c_str());
            return false;
        }
    }
    if (::rename(hidden.c_str(), path.c_str()) == 0)
        return true;
    problem = fmt::format("`{}` could not be written: {}", path, words_of(errno));
    ::unlink(hidden.c_str());
    return false;
}

bool make_folder(const std::string& path, std::string& problem) {
    std::error_code trouble;
    std::filesystem::create_directories(path, trouble);
    if (!trouble)
        return true;
    problem = fmt::format("the folder `{}` could not be made: {}", path, words_of(trouble.value()));
    return false;
}

FileLock::FileLock(const std::string& path)
    : file_(::open(path.c_str(), O_RDWR | O_CREAT | O_CLOEXEC, 0666)) {
    while (file_ >= 0 && ::flock(file_, LOCK_EX) != 0 && errno == EINTR) {
    }
}

FileLock::~FileLock() {
    if (file_ >= 0)
        ::close(file_);
}

std::string file_from(std::string_view base, std::string_view path) {
    std::filesystem::path whole(path);
    if (whole.is_relative())
        whole = std::filesystem::path(base) / whole;
    std::string text = whole.lexically_normal().generic_string();
    while (text.size() > 1 && text.back() == '/')
        text.pop_back();
    return text == "." ? "" : text;
}

std::string place_from(const std::string& base, const std::string& path) {
    const std::filesystem::path given(path);
    if (path.empty() || base.empty() || given.is_absolute())
        return path;
    std::error_code trouble;
    const std::filesystem::path from = std::filesystem::absolute(base, trouble);
    return std::filesystem::absolute(given, trouble).lexically_relative(from).generic_string();
}

std::string folder_from(std::string_view base, std::string_view path) {
    std::string text = file_from(base, path);
    if (!text.empty() && text.back() != '/')
        text += '/';
    return text;
}

} // namespace fettle
