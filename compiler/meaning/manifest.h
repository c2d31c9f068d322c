// What a library says about itself: the declaration in its `library.fettle`. Takes the tree of that
// file; what does not parse is left out, and is reported where the file itself is checked.
#pragma once

#include "compiler/source/source_file.h"
#include "compiler/syntax/tree.h"

#include <string>
#include <string_view>
#include <vector>

namespace fettle {

inline constexpr std::string_view manifest_name = "library.fettle";

// `needs NAME VERSION from "PLACE"`
struct LibraryNeed {
    std::string name;    // "tidewater.glazes"
    std::string version; // as it is written: "0.3"
    std::string from;    // empty: not said
    Span span;           // of the whole line
    Span name_span, version_span, from_span;
};

struct Manifest {
    bool found = false; // there is a `library` declaration
    std::string name;   // "harbour_row.common"
    std::string version, licence, about;
    std::vector<LibraryNeed> needs; // in the order of the file
    Span name_span, version_span, licence_span;
};

Manifest read_manifest(const Tree& tree);
// The same from the text of the file; spans are of file 0.
Manifest read_manifest(std::string_view text);

// The library among `needs` that the module `use` belongs to: of "tidewater.glazes.ash", the one
// called "tidewater.glazes". Where several fit, the longest name. Nothing: none of them.
const LibraryNeed* need_of_module(const Manifest& manifest, std::string_view use);

} // namespace fettle
