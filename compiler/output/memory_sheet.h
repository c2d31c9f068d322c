// What a kiln's controller keeps, on paper: an overview of its programs by number, then a keying
// sheet for each, in order.
#pragma once

#include "compiler/lowering/document.h"
#include "compiler/output/output_options.h"
#include "compiler/target/key_changes.h"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace fettle {

struct StoredDocument {
    std::uint32_t number = 1;                 // of its first program
    const FiringDocument* document = nullptr; // with steps
    std::optional<KeyChanges> changes;        // nothing: there was nothing to compare with
};

struct MemoryDocument {
    std::string_view name;
    NamedProfile kiln, controller;
    std::optional<double> programs;     // that the controller keeps; nothing: not known
    std::vector<StoredDocument> stored; // by number
    bool compared = false;              // with what was stored before
};

// Appends the page. Temperatures are in the scale of the controller, whatever the options say.
void append_memory_sheet(std::string& html, const MemoryDocument& memory,
                         const OutputOptions& options);

// "steps 3, 5 and 6", "all", "nothing": what is to be keyed again.
std::string again_words(const KeyChanges& changes, const Steps& steps);

} // namespace fettle
