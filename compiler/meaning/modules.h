// Finds and parses the modules that a program is made of: the files that were asked for, and those
// that they `use`. Takes paths and providers, gives `Program::modules`.
#pragma once

#include "compiler/meaning/program.h"

#include <functional>
#include <string>
#include <string_view>
#include <vector>

namespace fettle {

struct ModuleSources {
    SourceProvider& files;    // the user's own
    SourceProvider& standard; // "std/bodies.fettle": the library that comes with the compiler
    Sources& sources;         // everything that is read goes here
    std::vector<std::string> standard_names = {}; // of all its modules, to suggest one
};

// Adds the modules of `paths` and all that they use. `paths` that cannot be read are reported.
// `always` names standard modules that belong to every program (the rules).
void load_modules(Program& program, const std::vector<std::string>& paths,
                  const std::vector<std::string_view>& always, const ModuleSources& from,
                  Diagnostics& diagnostics);

} // namespace fettle
