// The controller's table as CSV: what is keyed, in the controller's own form and scale.
#pragma once

#include "compiler/lowering/document.h"

#include <string>

namespace fettle {

// Columns: program, step; duration_min, or rate_c_per_h and soak_min; target_c; waiting_within_c;
// kind, phase, segments (from 1), ends_min. `_f` where the controller is keyed in Fahrenheit. Empty
// where the document has no steps.
std::string steps_csv(const FiringDocument& document);

} // namespace fettle
