// Random schedules and random abilities: seeded, so that a failure can be had again.
#pragma once

#include "compiler/target/abilities.h"
#include "runtime/schedule/schedule.h"

#include <random>

namespace fettle {

// Climbs, soaks, falls, waits, full climbs and free falls, in degrees and times that no controller
// can be keyed with.
Schedule random_schedule(std::mt19937& random);
// With no contradictions in them.
Abilities random_abilities(std::mt19937& random);

} // namespace fettle
