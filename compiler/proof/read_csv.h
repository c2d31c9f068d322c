// CSV read back: by RFC 4180, with columns found by their names, and held against what it was
// written from.
#pragma once

#include "compiler/target/steps.h"
#include "runtime/schedule/schedule.h"

#include <string>
#include <string_view>

namespace fettle {

// Both sides of the first difference; empty: none. `scale`: of the text.
std::string difference_of_csv(std::string_view text, const Schedule& schedule, Scale scale);
// The table of steps.
std::string difference_of_steps_csv(std::string_view text, const Steps& steps);

} // namespace fettle
