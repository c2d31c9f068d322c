// Takes a `Firing`, gives a `Schedule`: steps become segments, targets that are cones become
// temperatures, what holds (vent, atmosphere, controls) is carried along.
#pragma once

#include "compiler/meaning/firing.h"
#include "runtime/schedule/schedule.h"

namespace fettle {

// True when the schedule is whole; otherwise a diagnostic says why it is not. `made_by` gets, for
// each segment, the index of its step in `firing.steps`.
bool lower(const Program& program, const Ceramics& ceramics, const Firing& firing,
           Schedule& schedule, std::vector<std::uint32_t>& made_by, Diagnostics& diagnostics);

} // namespace fettle
