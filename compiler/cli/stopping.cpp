#include "compiler/cli/stopping.h"

#include <atomic>
#include <csignal>
#include <initializer_list>

namespace fettle {
namespace {

std::atomic<int> received = 0; // signals leave no other way to tell
static_assert(std::atomic<int>::is_always_lock_free);

void remember(int number) {
    received = number;
}

} // namespace

void stop_on_signals() {
    struct sigaction action {};
    action.sa_handler = remember;
    sigemptyset(&action.sa_mask);
    action.sa_flags = static_cast<int>(SA_RESETHAND); // and calls that wait are woken
    for (const int number : {SIGINT, SIGTERM, SIGHUP}) {
        struct sigaction before {};
        sigaction(number, nullptr, &before);
        if (before.sa_handler != SIG_IGN) // as `nohup` wants it
            sigaction(number, &action, nullptr);
    }
}

bool stop_requested() {
    return received != 0;
}

void stop_if_requested() {
    const int number = received;
    if (number == 0)
        return;
    std::signal(number, SIG_DFL);
    std::raise(number);
}

} // namespace fettle
