// What the tools do, for those who want to know (`--verbose`): lines on stderr, never results.
#pragma once

#include <fmt/format.h>

#include <string_view>
#include <utility>

namespace fettle {

void log_to_stderr(bool on);
bool is_logging();
void log_text(std::string_view line);

template <class... Arguments>
void log_line(fmt::format_string<Arguments...> format, Arguments&&... arguments) {
    if (is_logging())
        log_text(fmt::format(format, std::forward<Arguments>(arguments)...));
}

} // namespace fettle
