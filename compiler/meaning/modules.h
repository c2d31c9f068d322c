// Finds and parses the modules that a program is made of: the files that were asked for, and those
// that they `use`. Takes paths and providers, gives `Program::modules`.
#pragma once

#include "compiler/meaning/manifest.h"
#include "compiler/meaning/program.h"

#include <functional>
#include <string>
#include <string_view>
#include <vector>

namespace fettle {

// Where the libraries lie that another library needs.
class LibraryFinder {
  public:
    virtual ~LibraryFinder() = default;
    // The folder, with a '/' at its end, of what the library in the folder `root` ("", "studio/")
    // needs; its files are read through `ModuleSources::files`. Nothing: `problem` says why, as a
    // message does.
    virtual std::optional<std::string> find(const std::string& root, const LibraryNeed& need,
                                            std::string& problem) = 0;
};

struct ModuleSources {
    SourceProvider& files;    // the user's own
    SourceProvider& standard; // "std/bodies.fettle": the library that comes with the compiler
    Sources& sources;         // everything that is read goes here
    std::vector<std::string> standard_names = {}; // of all its modules, to suggest one
    LibraryFinder* libraries = nullptr;           // nothing: no library that is needed can be had
    // Tree::nodes of a standard module that was parsed before; empty: it was not.
    std::function<std::span<const Node>(std::string_view path)> standard_nodes = {};
};

// Adds the modules of `paths` and all that they use. `paths` that cannot be read are reported.
// `always` names standard modules that belong to every program (the rules); with any, those for
// glazes are loaded where a glaze has a recipe.
void load_modules(Program& program, const std::vector<std::string>& paths,
                  const std::vector<std::string_view>& always, const ModuleSources& from,
                  Diagnostics& diagnostics);

} // namespace fettle
