// What the person at the kiln has to expect: which cones fall and when, and what is left to do when
// the firing is interrupted.
//
// Heat work adds up through an interruption: what a cone has had stays. What is missing at the top
// is found as a climb at the firing's own rate from well below, with its own soak where that is not
// too much. The little work while the kiln falls and waits is left out, so the cones that were set
// decide. Never hotter than the firing's own peak.
#pragma once

#include "compiler/lowering/document.h"
#include "runtime/heatwork/heat_work.h"

namespace fettle {

// Fills cones_expected and interruptions of a document whose schedule is in place; `reading` is
// that of the whole firing.
void fill_expectations(const ConeScale& scale, const ConeReading& reading,
                       FiringDocument& document);

} // namespace fettle
