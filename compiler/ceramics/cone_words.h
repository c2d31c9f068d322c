// What is wrong with a table of cones, in a sentence for the person who keeps the table.
#pragma once

#include "compiler/ceramics/cone_data.h"

#include <string>

namespace fettle {

std::string describe(const ConeDataProblem& problem);  // "line 12: `hot` is not a number"
std::string describe(const ConeTableProblem& problem); // "cone 6 ends at 1242C, no hotter than …"

} // namespace fettle
