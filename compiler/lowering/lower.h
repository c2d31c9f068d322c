// Takes a `Firing`, gives a `Schedule`: steps become segments, targets that are cones become
// temperatures, what holds (vent, atmosphere, controls) is carried along.
#pragma once

#include "compiler/meaning/firing.h"
#include "runtime/schedule/schedule.h"

namespace fettle {

// True when the schedule is whole; otherwise a diagnostic says why it is not.
bool lower(const Program& program, const Ceramics& ceramics, const Firing& firing,
           Schedule& schedule, Diagnostics& diagnostics);

} // namespace fettle
