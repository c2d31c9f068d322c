#include "compiler/cli/stopping.h"

#include <csignal>
#include <initializer_list>

namespace fettle {
namespace {

volatile std::sig_atomic_t received = 0; // signals leave no other way to tell

void remember(int number) {
    received = number;
}

} // namespace

void stop_on_signals() {
    struct sigaction action {};
    action.sa_handler = remember;
    sigemptyset(&action.sa_mask);
    action.sa_flags = SA_RESETHAND; // and calls that wait are woken
    for (int number : {SIGINT, SIGTERM, SIGHUP})
        sigaction(number, &action, nullptr);
}

bool stop_requested() {
    return received != 0;
}

void stop_if_requested() {
    if (received == 0)
        return;
    std::signal(received, SIG_DFL);
    std::raise(received);
}

} // namespace fettle
