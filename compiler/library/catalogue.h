// A static web site about libraries: a page for everything that they share, with its text,
// parameters, curve, table, source, what it uses and what uses it, and files to take away; an index
// to search in without a server; and the same index in JSON. All files lie in one folder, and work
// from a disk as well as from any host.
#pragma once

#include "compiler/library/version_on_disk.h"

#include <cstddef>
#include <functional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace fettle {

// A kind of file that each firing has: "csv", ".csv".
struct CatalogueFormat {
    std::string_view name, ending;
    std::function<void(Compilation&)> needs; // what the compilation must tell for it
    std::function<void(std::string&, const FiringDocument&)> append;
};

struct CatalogueWork {
    std::span<const CatalogueFormat> formats;
    unsigned threads = 1;
    // Called from several threads; false: nothing more can be written.
    std::function<bool(const std::string& name, std::string_view text)> write;
    std::function<void(std::size_t done, std::size_t all)> progress; // from one thread
};

// How many pages were made; nothing: a library does not compile, `problem` says where.
std::optional<std::size_t> make_catalogue(std::span<const LibraryVersion> libraries,
                                          const Cache& cache, const CatalogueWork& work,
                                          std::string& problem);

} // namespace fettle
