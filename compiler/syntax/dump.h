// The tree as text, for people and tests.
#pragma once

#include "compiler/syntax/tree.h"

#include <string>

namespace fettle {

// A node a line, children indented by two: its kind, its flag in words, and its source where it has
// no children. Offsets are left out, so that equal dumps mean equal trees.
std::string dump(const Tree& tree);

} // namespace fettle
