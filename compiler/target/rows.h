// Legs as rows of a table, in the controller's form, with their times.
#pragma once

#include "compiler/target/stretches.h"

namespace fettle {

// A free fall in the middle that is to be keyed: see `can_fall_freely`.
enum class FreeFall : std::uint8_t {
    impossible,
    as_fast_as_it_can, // a step without a rate that ends when the kiln is there
    by_waiting,        // the shortest step there is, with its clock held until the kiln is near
};
FreeFall can_fall_freely(const Abilities& can);

// With which the clock is held then: five degrees of Celsius (common practice for such waiting).
double waiting_for_a_fall(const Abilities& can);

struct RowSet {
    std::vector<StepRow> rows;
    std::vector<std::pair<std::uint32_t, std::uint32_t>> legs; // of each row: first, one past last
};
// `starts_s`: when the first row starts.
RowSet rows_of(const std::vector<Leg>& legs, const Schedule& schedule, const Abilities& can,
               std::optional<double> starts_s);

} // namespace fettle
