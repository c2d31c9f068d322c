// What a controller can't be made to do, segment by segment, before any table is made.
#pragma once

#include "compiler/target/make_steps.h"

namespace fettle {

// One refusal for each kind of fault, at the first segment that has it. With `options.split` a free
// fall in the middle is no fault: a person waits between two programs.
std::vector<StepsRefusal> refusals_of(const Schedule& schedule, const Abilities& can,
                                      const StepsOptions& options);

} // namespace fettle
