#include "compiler/cli/terminal.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <atomic>
#include <cerrno>
#include <cstdlib>
#include <cstring>
#include <sys/ioctl.h>
#include <sys/uio.h>
#include <unistd.h>
#include <vector>

namespace fettle {
namespace {

std::atomic<bool> reader_left = false; // stdout is one for the whole process

struct ErrorWords {
    int number;
    std::string_view words;
};
constexpr ErrorWords error_words[] = {
    {EACCES, "you have no permission"},
    {EPERM, "the system does not permit it"},
    {EROFS, "that disk can only be read, not written"},
    {ENOSPC, "the disk is full"},
    {EDQUOT, "your share of the disk is full"},
    {EFBIG, "the file would be larger than is allowed here"},
    {ENOENT, "there is no such file or folder"},
    {ENOTDIR, "a file stands where a folder is needed"},
    {EISDIR, "it is a folder, not a file"},
    {EEXIST, "there is something of that name already"},
    {ENAMETOOLONG, "the name is too long"},
    {ELOOP, "its links lead round in a circle"},
    {EMFILE, "too many files are open"},
    {ENFILE, "too many files are open"},
    {EIO, "the disk reports a fault"},
    {ETXTBSY, "it is in use"},
    {EBUSY, "it is in use"},
    {ENOTEMPTY, "a folder of that name is in the way"},
    {ENXIO, "it is not a file"},
};

// 0, or the number of what went wrong.
int write_all(int descriptor, std::vector<iovec> pieces) {
    std::size_t first = 0;
    while (first < pieces.size()) {
        const auto count = std::min<std::size_t>(pieces.size() - first, 1024); // IOV_MAX
        const ssize_t written = ::writev(descriptor, &pieces[first], static_cast<int>(count));
        if (written < 0) {
            if (errno == EINTR)
                continue;
            return errno;
        }
        auto left = static_cast<std::size_t>(written);
        while (first < pieces.size() && left >= pieces[first].iov_len)
            left -= pieces[first++].iov_len;
        if (first < pieces.size()) {
            pieces[first].iov_base = static_cast<char*>(pieces[first].iov_base) + left;
            pieces[first].iov_len -= left;
        }
    }
    return 0;
}

iovec piece_of(std::string_view text) {
    return {const_cast<char*>(text.data()), text.size()}; // only read
}

} // namespace

bool is_terminal(Channel channel) {
    return ::isatty(static_cast<int>(channel)) == 1;
}

bool wants_colour(Channel channel) {
    const char* none = std::getenv("NO_COLOR");
    if (none != nullptr && *none != '\0')
        return false;
    const char* kind = std::getenv("TERM");
    return is_terminal(channel) && (kind == nullptr || std::strcmp(kind, "dumb") != 0);
}

std::size_t terminal_width(Channel channel, std::size_t otherwise) {
    winsize size{};
    if (is_terminal(channel) && ::ioctl(static_cast<int>(channel), TIOCGWINSZ, &size) == 0 &&
        size.ws_col > 0) {
        return size.ws_col;
    }
    return otherwise;
}

ExitCode print(std::span<const std::string_view> results) {
    if (reader_left)
        return ExitCode::well;
    std::vector<iovec> pieces;
    pieces.reserve(results.size());
    for (std::string_view text : results) {
        if (!text.empty())
            pieces.push_back(piece_of(text));
    }
    const int error = write_all(STDOUT_FILENO, std::move(pieces));
    if (error == 0)
        return ExitCode::well;
    if (error == EPIPE) {
        reader_left = true;
        return ExitCode::well;
    }
    say(fmt::format("error: the result could not be written: {}", words_of_error(error)));
    reader_left = true; // one message is enough
    return ExitCode::unreadable;
}

ExitCode print(std::string_view results) {
    return print(std::span(&results, 1));
}

bool has_reader() {
    return !reader_left;
}

void say(std::string_view message) {
    std::string text(message);
    if (text.empty() || text.back() != '\n')
        text += '\n';
    (void)write_all(STDERR_FILENO, {piece_of(text)});
}

std::string words_of_error(int error_number) {
    const auto* found =
        std::find_if(std::begin(error_words), std::end(error_words),
                     [&](const ErrorWords& row) { return row.number == error_number; });
    return std::string(found != std::end(error_words) ? found->words : std::strerror(error_number));
}

} // namespace fettle
