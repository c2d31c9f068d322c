// What a compiled firing comes to, kept after the compilation is gone, and in what two of them
// differ.
#pragma once

#include "compiler/compiler.h"

#include <string>
#include <vector>

namespace fettle {

struct FiringFacts {
    bool ok = false;
    std::string refused;             // not `ok`: the first error
    Schedule schedule;               // without files and trails
    std::vector<std::string> checks; // "quartz_rise: holds", in the order of their names
    std::vector<std::string> table;  // the steps that a person keys in; empty: no controller
    std::string cone;                // heat work: "cone 04 and 35 % of the way to 03"
    std::vector<std::string> accept; // a line each
    std::vector<std::string> needs;  // what a firing must have: slots of body, glaze, kiln, load
};

// Of each, on `threads` threads.
std::vector<FiringFacts> compile_facts(const Compilation& compilation,
                                       const std::vector<DeclarationId>& firings, unsigned threads);

// Lines that say in what the second differs; none: in nothing but words.
std::vector<std::string> differences(const FiringFacts& before, const FiringFacts& after);

} // namespace fettle
