// Takes the parsed modules of a program; works out what every name means and that every quantity,
// cone and word stands where it may. Reports all that is wrong, in every template and function,
// whether it is used or not.
#pragma once

#include "compiler/meaning/evaluate.h"
#include "compiler/meaning/modules.h"
#include "compiler/meaning/program.h"

#include <memory>

namespace fettle {

// Loads, checks, and works out constants and profiles. Declarations with an error in them, or that
// need one that has, are there but not `usable`.
std::unique_ptr<Program> check_program(const std::vector<std::string>& paths,
                                       const std::vector<std::string_view>& always,
                                       const ModuleSources& from, const Ceramics& ceramics,
                                       Diagnostics& diagnostics);

} // namespace fettle
