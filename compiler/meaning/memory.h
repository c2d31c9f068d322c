// Which stored program of a kiln's controller holds which firing: the `memory` declarations.
#pragma once

#include "compiler/meaning/program.h"

namespace fettle {

// Fills Program::memories with those that are without errors; says which numbers do not exist, and
// which are given twice. Part of check_program, when profiles are worked out.
void gather_memories(Program& program, Diagnostics& diagnostics);

} // namespace fettle
