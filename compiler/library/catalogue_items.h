// What a catalogue has pages about, across all its libraries: names, words, and who uses whom.
#pragma once

#include "compiler/library/prints.h"
#include "compiler/library/samples.h"
#include "compiler/library/version_on_disk.h"

#include <map>
#include <memory>
#include <set>
#include <string>
#include <vector>

namespace fettle {

struct CatalogueItem {
    std::size_t library = 0;
    DeclarationId declaration = none;
    std::string kind;                       // "template", "body"
    std::string module;                     // "tidewater.glazes.firings"
    std::string name;                       // "glaze_firing"
    std::string title, about;               // empty: none
    std::string file;                       // of its page, without ".html"
    std::vector<std::size_t> uses, used_by; // indices of items
    std::vector<std::string> outside;       // what it uses that has no page: "std.bodies.stoneware"
};

struct CatalogueLibrary {
    const LibraryVersion* version = nullptr;
    std::unique_ptr<CompiledVersion> compiled;
    std::unique_ptr<Prints> prints;
    std::vector<std::string> modules; // by module: its whole name
    std::vector<bool> own;            // by module
};

struct CatalogueItems {
    std::vector<CatalogueLibrary> libraries;
    std::vector<CatalogueItem> all; // by library, module and place in the file
};

// Nothing: `problem` says what does not compile.
bool find_items(std::span<const LibraryVersion> versions, const Cache& cache, CatalogueItems& items,
                std::string& problem);

} // namespace fettle
