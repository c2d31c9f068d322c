// A checked program as text, for people and tests.
#pragma once

#include "compiler/meaning/program.h"

#include <string>

namespace fettle {

// Of each module that is not the compiler's own: a line for each declaration with the types of its
// parameters, the value of a constant, and below a profile its fields, limits, lining and the rest.
std::string dump(const Program& program);

} // namespace fettle
