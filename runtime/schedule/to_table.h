// Schedule -> the constant table that runtime/player plays, in whole milliseconds and thousandths
// of a degree.
#pragma once

#include "runtime/player/table.h"
#include "runtime/schedule/schedule.h"

#include <forward_list>
#include <optional>
#include <string>
#include <vector>

namespace fettle {

// A table and the memory that it points to: it may be moved, not copied. With a fault the table is
// there to be looked at, not to be played.
struct MadeTable {
    player::Table table{};
    player::TableFault fault = player::TableFault::none;

    MadeTable() = default;
    MadeTable(MadeTable&&) = default;
    MadeTable& operator=(MadeTable&&) = default;

    std::vector<player::Segment> segments;
    std::vector<const char*> phases;
    std::forward_list<std::string> texts;
};

// Ends of segments are rounded to the millisecond counted from the first, so that rounding does not
// add up: after any number of segments the table is within 0.5 ms and 0.0005 K of the schedule. A
// segment of less than a millisecond gets one. Several jobs of a segment become one text, "; "
// between them. `ceiling_c`: the kiln's, where it is known.
MadeTable to_table(const Schedule& schedule, const std::string& name,
                   std::optional<double> ceiling_c = std::nullopt);

} // namespace fettle
