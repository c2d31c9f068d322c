// Whether a firing can be where the memories of the program say that it is stored.
#pragma once

#include "compiler/lowering/compile_firing.h"

namespace fettle {

// Of a firing whose steps are made. One that takes several programs takes as many numbers, from the
// one that was given on; they must exist and be free.
void check_stored(const Program& program, const CompiledFiring& compiled, Diagnostics& diagnostics);

} // namespace fettle
