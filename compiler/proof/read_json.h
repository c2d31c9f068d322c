// The JSON of a firing read back: the numbers that a kiln would be fired by, found in the text by a
// reader of its own, and held against the schedule and the steps that they were written from.
//
// Only what is fired is read (start, segments, steps). Keys are found where they stand: no text can
// imitate one, because its quotes are escaped.
#pragma once

#include "compiler/target/steps.h"
#include "runtime/schedule/schedule.h"

#include <string>
#include <string_view>

namespace fettle {

// Both sides of the first difference ("segment 3: to_c is 630 in the text, 600 in the schedule");
// empty: none. `steps`: nullptr where there are none. Any layout.
std::string difference_of_json(std::string_view text, const Schedule& schedule, const Steps* steps);

} // namespace fettle
