// Sentences about a log: what was assumed, what is odd, why it can't be judged. Plain text.
#pragma once

#include "runtime/log/log_reading.h"

#include <string>
#include <vector>

namespace fettle {

std::string describe(const LogAssumption& assumption, const LogReading& reading);
// What was found, then what to do.
std::string describe(const LogProblem& problem, const LogReading& reading);

// "2026-03-07 18:05"
std::string printed_date(double seconds_since_1970);

} // namespace fettle
