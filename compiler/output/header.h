// A firing as a C++ header: constant data for the player (runtime/player/table.h), checked while it
// is compiled.
#pragma once

#include "compiler/lowering/document.h"

#include <string>

namespace fettle {

// Of the segments as they were asked for: a player need not round to keys. Names of files and of
// identifiers come from the firing's name, in ASCII.
std::string header(const FiringDocument& document);

} // namespace fettle
