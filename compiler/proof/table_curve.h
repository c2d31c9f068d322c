// The table read back: what a controller makes of the keys alone, as a curve, and whether that is
// the curve that was asked for. Shares no arithmetic with the room that makes tables: its mistakes
// must not be repeated here.
#pragma once

#include "compiler/target/steps.h"
#include "runtime/schedule/schedule.h"

#include <string>
#include <vector>

namespace fettle {

struct TableCurve {
    Schedule schedule;                // of the same phases and states as the schedule asked for
    std::vector<std::uint32_t> row;   // of each segment; counted through all programs; or `no_row`
    std::vector<std::uint32_t> asked; // of each segment: the one that it stands for
    static constexpr std::uint32_t no_row = ~std::uint32_t{0}; // cooling by itself
};

// Empty rows, or rows that name segments that do not exist, make `problem` say so.
TableCurve table_curve(const Steps& steps, const Schedule& asked, std::string& problem);

// What differs by more than rounding explains; empty: nothing.
//
// Each row ends within a temperature step of its segments' end; a climb or fall is never faster
// than asked, and slower by less than a step of time or rate; each soak is as long as asked to
// within a step of time. All segments are fired, in order, but for cooling by itself. The peak is
// within a temperature step. What the table says of its own deviation is true.
std::string difference(const Steps& steps, const Schedule& asked);

} // namespace fettle
