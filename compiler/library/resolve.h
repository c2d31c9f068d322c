// Finds, for every library that is needed, directly or by others, the newest version that all who
// ask for it can do with, and writes that down. One version of a library in all.
#pragma once

#include "compiler/library/cache.h"
#include "compiler/library/library.h"
#include "compiler/library/lock.h"

namespace fettle {

struct ResolveRequest {
    std::string root; // the library's folder: "" or with '/' at its end
    // The library itself, where it is not the one in `root`; of an archive, the folder (as seen
    // from `root`) where others may lie beside it.
    const Library* library = nullptr;
    std::string shelf;
    std::optional<Lock> before; // what was locked
    bool update = false;        // newer versions than those locked, and what changed in folders
    std::string_view standard;  // the version of `std` that the compiler has
};

// What archives and repositories gave is in the cache afterwards. Where all that is locked still
// fits and is at hand, nothing else is asked (no repository, no shelf). Nothing: `problem` says why
// in lines that tell who asks for what.
std::optional<Lock> resolve(const ResolveRequest& request, const Cache& cache,
                            std::string& problem);

// Is everything that the lock names at hand and unchanged? Lines of what is not.
std::vector<std::string> verify(const std::string& root, const Lock& lock, const Cache& cache);
// Do the places still offer what was locked? Asks repositories and shelves.
std::vector<std::string> verify_sources(const std::string& root, const Lock& lock,
                                        const Cache& cache);

} // namespace fettle
