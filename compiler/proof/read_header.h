// The C++ header of a firing read back as text, and held against the schedule.
#pragma once

#include "runtime/schedule/schedule.h"

#include <string>
#include <string_view>

namespace fettle {

// Both sides of the first difference; empty: none.
std::string difference_of_header(std::string_view text, const Schedule& schedule);

} // namespace fettle
