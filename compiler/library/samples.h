// Firings that are made up to try a template or a phase with: each parameter at each of a stated
// set of values while the others stay where they are, and all of them low, and all of them high.
#pragma once

#include "compiler/meaning/program.h"

#include <span>
#include <string>
#include <vector>

namespace fettle {

struct Sample {
    std::string firing;    // name of the made-up firing: "sample_12"
    std::string arguments; // "thickness: 8mm, top: cone 6"
};
struct SampledDeclaration {
    std::string name; // "bisque.gentle_bisque"
    std::vector<Sample> samples;
    std::string untried; // why there are none: "there is no glaze to try it with"
};
struct Samples {
    std::string source; // a module of the library with all of them
    std::vector<SampledDeclaration> declarations;
};

// What each type of parameter is tried with, a line each, for readers.
std::vector<std::string> stated_samples();

// Of templates and phases of the library whose modules are `own` (by their names below the
// library's folder, "" for those that are not its).
Samples make_samples(const Program& program, std::span<const std::string> own,
                     std::span<const DeclarationId> declarations);

} // namespace fettle
