// The table of a firing's steps by phase, as `show` prints it.
#pragma once

#include "compiler/output/page.h"
#include "compiler/output/show.h"

namespace fettle {

void put_step_table(Page& page, const Schedule& schedule, const ShowOptions& options);

// "12h", "~14h30m" with an estimate in it, "?" where it is not known. For readers: from ten minutes
// on, to the minute.
std::string printed_time(std::optional<double> known_s, std::optional<double> estimated_s);

} // namespace fettle
