// The table of a firing's steps by phase, as `show` prints it.
#pragma once

#include "compiler/output/page.h"
#include "compiler/output/show.h"

namespace fettle {

void put_step_table(Page& page, const Schedule& schedule, const ShowOptions& options);

} // namespace fettle
