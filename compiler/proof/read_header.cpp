#include "compiler/proof/read_header.h"

#include <charconv>
#include <cmath>
#include <fmt/format.h>

namespace fettle {

namespace {

constexpr std::string_view kinds[] = {"ramp", "soak", "full", "free", "opened"};
constexpr double written_k = 0.000501;
constexpr double written_s = 0.002; // milliseconds, that do not add up

// The whole number after the next comma.
bool next_number(std::string_view& text, double& value) {
    const std::size_t comma = text.find(", ");
    if (comma == std::string_view::npos) {
        return false;
    }
    text.remove_prefix(comma + 2);
    long long whole = 0;
    const auto [end, fault] = std::from_chars(text.data(), text.data() + text.size(), whole);
    value = static_cast<double>(whole);
    return fault == std::errc();
}

} // namespace

std::string difference_of_header(std::string_view text, const Schedule& schedule) {
    constexpr std::string_view row = "{player::Kind::";
    std::size_t index = 0;
    for (std::size_t at = text.find(row); at != std::string_view::npos;
         at = text.find(row, at + 1)) {
        std::string_view rest = text.substr(at + row.size());
        if (index == schedule.segments.size()) {
            return "the header has more segments than the schedule";
        }
        const Segment& asked = schedule.segments[index++];
        const std::string_view kind = rest.substr(0, rest.find(','));
        if (kind != kinds[static_cast<std::size_t>(asked.kind)]) {
            return fmt::format("segment {}: {} in the header, {} in the schedule", index, kind,
                               kinds[static_cast<std::size_t>(asked.kind)]);
        }
        double to = 0, time = 0, expected = 0, waiting = 0;
        if (!next_number(rest, to) || !next_number(rest, time) || !next_number(rest, expected) ||
            !next_number(rest, waiting)) {
            return fmt::format("segment {} can't be read in the header", index);
        }
        const double asked_s = asked.duration_s.value_or(0);
        if (std::fabs(to / 1000 - asked.to_c) > written_k ||
            std::fabs(time / 1000 - asked_s) > written_s ||
            std::fabs(waiting / 1000 - asked.waiting_within_k.value_or(0)) > written_k) {
            return fmt::format("segment {}: to {}C in {} s in the header, to {}C in {} s in the "
                               "schedule",
                               index, to / 1000, time / 1000, asked.to_c, asked_s);
        }
    }
    return index == schedule.segments.size()
               ? std::string()
               : fmt::format("segment {} is not in the header", index + 1);
}

} // namespace fettle
