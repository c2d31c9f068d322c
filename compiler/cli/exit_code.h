// How a command ends. Scripts rely on these numbers.
#pragma once

#include <algorithm>

namespace fettle {

enum class ExitCode : int {
    well = 0,
    errors = 1,     // the input has errors or does not pass
    usage = 2,      // the command was not understood
    unreadable = 3, // a file could not be read or written
    bug = 4,        // of Fettle itself
};

// The graver of two.
constexpr ExitCode worse(ExitCode a, ExitCode b) {
    return std::max(a, b);
}

} // namespace fettle
