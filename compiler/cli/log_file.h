// A fired log from the disk, read in pieces: it may be larger than the memory.
#pragma once

#include "runtime/log/read_log.h"

#include <optional>
#include <string>

namespace fettle {

// The options that tell what a log does not.
struct LogWords {
    std::string unit, thermocouple, junction, time, every;
    bool month_first = false;
};

class Arguments;
void declare(Arguments& arguments, LogWords& words);

// What they come to; or what is wrong with one of them, which was said.
std::optional<LogOptions> log_options(const LogWords& words);

// Nothing: it could not be read, and `problem` says why. `-` is standard input.
std::optional<LogReading> read_log_file(const std::string& path, const LogOptions& options,
                                        std::string& problem);

} // namespace fettle
