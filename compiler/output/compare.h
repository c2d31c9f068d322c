// Two firings side by side on the terminal, or one firing as two controllers fire it: what they
// are, every step by phase, totals, cones, rules, keys, and both curves in one drawing. A `*`
// stands before what differs, so that nothing hangs on colour.
#pragma once

#include "compiler/lowering/document.h"
#include "compiler/output/show.h"

#include <string>

namespace fettle {

// Phases are held against each other by name; steps inside a phase by what they do and where they
// end, in their order. What only one of them has stands alone. Cones are told where the documents
// have cones_expected.
std::string compare_firings(const FiringDocument& a, const FiringDocument& b,
                            const ShowOptions& options = {});

// `a` and `b` are the same firing, each with the table of another controller. The curves are those
// that the tables make, read back from their keys.
std::string compare_controllers(const FiringDocument& a, const FiringDocument& b,
                                const ShowOptions& options = {});

} // namespace fettle
