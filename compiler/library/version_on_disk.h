// One version of a library, wherever it lies, made ready to be compiled with what it needs.
#pragma once

#include "compiler/compiler.h"
#include "compiler/library/cache.h"
#include "compiler/library/library.h"
#include "compiler/library/lock.h"
#include "compiler/library/locked_libraries.h"

#include <map>
#include <memory>

namespace fettle {

struct LibraryVersion {
    std::string shown; // "tidewater.glazes 0.3.1", "HEAD~1"
    std::string root;  // folder from which relative places in it are seen; "" or with a '/'
    Library library;
    Lock lock; // of what it needs
};

// `given`: a folder with a library, an archive, or a revision of the git repository that the
// library in `beside` is kept in. `shelf`: a folder with archives of what it needs, where it does
// not say where that comes from.
std::optional<LibraryVersion> open_version(const std::string& given, const std::string& beside,
                                           const Cache& cache, std::string& problem,
                                           const std::string& shelf = "");

// Compiled as one program, out of memory. Paths are those below the library's folder, so that two
// versions can be laid side by side.
class CompiledVersion {
  public:
    // `more`: a further file of the library, made up for this: then only that one is compiled,
    // with what it uses (empty: none).
    // `replaced`: needed libraries that are to be taken from elsewhere (name → contents).
    CompiledVersion(const LibraryVersion& version, const Cache& cache, std::string more = "",
                    const std::map<std::string, const Library*>& replaced = {});

    static constexpr std::string_view more_name = "samples_of_fettle.fettle";

    const Compilation& compilation() const { return *compilation_; }
    Compilation& compilation() { return *compilation_; }
    const Diagnostics& diagnostics() const { return diagnostics_; }
    // The first error with its place; empty: there is none.
    std::string first_error() const;

  private:
    class Files : public SourceProvider {
      public:
        std::optional<std::string> read(const std::string& path, std::string& problem) override;
        std::map<std::string, std::string_view, std::less<>> texts;
        std::string root;
    };
    std::string more_;
    Files files_;
    LockedLibraries libraries_;
    Diagnostics diagnostics_;
    std::unique_ptr<Compilation> compilation_;
};

} // namespace fettle
