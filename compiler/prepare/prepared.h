// What is the same in every run, and was worked out while Fettle was built (by prepare.cpp): to
// parse the standard library and to fit its cones takes longer than to compile a firing.
#pragma once

#include "compiler/syntax/tree.h"
#include "runtime/heatwork/cone_kinetics.h"

#include <span>
#include <string_view>

namespace fettle {

struct PreparedTree {
    std::string_view name;       // "rules.fettle"
    std::span<const Node> nodes; // Tree::nodes of its text
};

// Of all modules of the standard library, sorted by name.
std::span<const PreparedTree> prepared_trees();

// ConeScale::cones of the scale on which a cone in a firing is meant.
std::span<const ConeKinetics> prepared_cones();

} // namespace fettle
