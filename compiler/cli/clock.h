// The option `--starts`: a time of day.
#pragma once

#include <optional>
#include <string_view>

namespace fettle {

// "22:00" in seconds after midnight; nothing for what is no time of day.
std::optional<double> clock_time(std::string_view text);

// Reads the option into `start_clock_s`, where it was given; says what is wrong with it.
bool read_starts(std::string_view text, std::optional<double>& start_clock_s);

} // namespace fettle
