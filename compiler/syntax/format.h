// The one layout of Fettle source.
#pragma once

#include "compiler/syntax/tree.h"

#include <string>

namespace fettle {

// The text of `tree` in the one layout, comments kept. The tree must have parsed without errors.
// Formatting twice gives the same as formatting once, and the result parses to the same tree.
std::string format(const Tree& tree);

} // namespace fettle
