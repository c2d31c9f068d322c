#include "compiler/cli/clock.h"

#include "compiler/cli/terminal.h"
#include "compiler/source/characters.h"

#include <fmt/format.h>

#include <charconv>

namespace fettle {

std::optional<double> clock_time(std::string_view text) {
    unsigned hour = 24;
    unsigned minute = 60;
    const char* const end = text.data() + text.size();
    const auto [colon, bad_hour] = std::from_chars(text.data(), end, hour);
    if (bad_hour != std::errc() || colon == end || *colon != ':' || end - colon != 3)
        return std::nullopt;
    const auto [rest, bad_minute] = std::from_chars(colon + 1, end, minute);
    if (bad_minute != std::errc() || rest != end || hour > 23 || minute > 59)
        return std::nullopt;
    return 3600.0 * hour + 60.0 * minute;
}

bool read_starts(std::string_view text, std::optional<double>& start_clock_s) {
    if (text.empty())
        return true;
    start_clock_s = clock_time(text);
    if (!start_clock_s) {
        say(fmt::format("error: --starts takes a time of day such as 22:00, not `{}`",
                        visible(text)));
    }
    return start_clock_s.has_value();
}

} // namespace fettle
