// The controller's table of a firing: made, read back, and held against the rules.
#pragma once

#include "compiler/lowering/compile_firing.h"

namespace fettle {

// Fills `document.steps` of a firing whose schedule and checks are there, where its kiln has a
// controller; says what stands in the way.
void fill_steps(const CompileContext& context, CompiledFiring& result, Diagnostics& diagnostics);

} // namespace fettle
