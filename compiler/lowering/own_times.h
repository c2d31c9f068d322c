// Puts estimates of the kiln's own time beside the segments that leave it to the kiln (`at full`,
// `freely`, `opened`), and finds climbs that the kiln can't make.
#pragma once

#include "compiler/lowering/document.h"
#include "compiler/meaning/firing.h"
#include "runtime/schedule/schedule.h"

#include <span>

namespace fettle {

// Costs nothing where every segment has a time of its own; else a look into the kiln's book.
void estimate_own_times(const Program& program, const Firing& firing, Schedule& schedule);

// One caution for each step that climbs clearly faster than the kiln can at that temperature. A
// quick bound spares the kilns that are far from it. Left out where a check of `checks` tells it.
void report_fast_climbs(const Program& program, const Firing& firing, const Schedule& schedule,
                        std::span<const std::uint32_t> made_by, std::span<const Check> checks,
                        Diagnostics& diagnostics);

} // namespace fettle
