// The step of a table where a wrong key costs most heat work.
#pragma once

#include "compiler/target/heat_aim.h"
#include "compiler/target/rows.h"

#include <string>

namespace fettle {

struct Costly {
    std::uint32_t row = 0;
    double cones = 0; // what the mistake is worth, signed
    std::string why;
};

// Tried for each row: 10 degrees more or less as its target, a tenth more or less as its rate or
// climbing time, ten minutes more or less as its soak. Nothing: none of them changes a tenth of a
// cone.
std::optional<Costly> most_costly(const RowSet& set, const std::vector<Leg>& legs,
                                  const HeatComparison& heat, const Abilities& can);

} // namespace fettle
