// A text as it is written in a file, without quotes and escapes; its computed parts stand as
// `{…}`, since nobody has worked them out.
#pragma once

#include "compiler/syntax/tree.h"

#include <string>

namespace fettle {

// Empty where the node is no text.
std::string written_text(const Tree& tree, NodeId text);

} // namespace fettle
