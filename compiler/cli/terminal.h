// What a command prints: results to stdout, messages to stderr. The only place that asks whether
// there is a terminal at the other end.
#pragma once

#include "compiler/cli/exit_code.h"

#include <cstddef>
#include <span>
#include <string>
#include <string_view>

namespace fettle {

enum class Channel : int { results = 1, messages = 2 };

bool is_terminal(Channel channel);
// A terminal that shows colours, and nobody who asked for none (NO_COLOR).
bool wants_colour(Channel channel);
// Columns of the terminal; where there is none, `otherwise`.
std::size_t terminal_width(Channel channel, std::size_t otherwise = 80);

// Writes all of it. A reader that went away (a closed pipe) is no fault of anybody: what is left is
// dropped silently. Any other trouble is told on stderr and gives `unreadable`.
ExitCode print(std::string_view results);
// The same for many pieces, in few calls to the system.
ExitCode print(std::span<const std::string_view> results);
// False once a reader went away: no need to work on.
bool has_reader();

// A line (or several) on stderr; a line end is added.
void say(std::string_view message);

// What the system said about a file, in plain words: "the disk is full".
std::string words_of_error(int error_number);

} // namespace fettle
