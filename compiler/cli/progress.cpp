#include "compiler/cli/progress.h"

#include "compiler/cli/terminal.h"

#include <fmt/format.h>

#include <unistd.h>

namespace fettle {
namespace {

using namespace std::chrono_literals;

void write_raw(std::string_view text) {
    (void)!::write(STDERR_FILENO, text.data(), text.size());
}

} // namespace

Progress::Progress(std::string_view what, std::size_t total, bool wanted)
    : what_(what), total_(total), wanted_(wanted && is_terminal(Channel::messages)),
      next_(Clock::now() + 400ms) {}

Progress::~Progress() {
    if (shown_)
        write_raw("\r\x1b[K");
}

void Progress::reached(std::size_t count) {
    if (!wanted_ || count >= total_ || Clock::now() < next_)
        return;
    next_ = Clock::now() + 100ms;
    shown_ = true;
    write_raw(fmt::format("\r\x1b[K{} of {} {}", count, total_, what_));
}

} // namespace fettle
