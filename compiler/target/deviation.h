// How far a table's curve is from the schedule's, piece by piece: at the end of each segment, with
// the time of a piece taken as a whole, so that rounded minutes do not add up to degrees.
#pragma once

#include "compiler/target/stretches.h"

namespace fettle {

struct Deviation {
    double degrees_k = 0;
    std::optional<std::uint32_t> segment; // at whose end; nothing: there is none
};
// For each leg: the largest of the stretch that it is, or is a piece of.
std::vector<Deviation> deviations(const std::vector<Leg>& legs, const Schedule& schedule,
                                  Scale scale);

} // namespace fettle
