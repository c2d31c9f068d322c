// `--against`: the JSON of firings as they were when they were keyed, and what an edit since then
// makes out of date.
#pragma once

#include "compiler/lowering/compile_firing.h"
#include "compiler/target/key_changes.h"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace fettle {

struct Earlier {
    std::vector<EarlierTable> tables;

    const EarlierTable* find(std::string_view firing) const; // nullptr: there is none
    // Nothing: there is nothing to compare, now or then.
    std::optional<KeyChanges> changes(const FiringDocument& document) const;
};

// Files, or folders whose `.json` files are taken. Nothing: something is wrong with them, which was
// said.
std::optional<Earlier> read_earlier_files(const std::vector<std::string>& paths);

// What is to be keyed again for one firing, as lines of text; `stored` is where: "program 2 of
// loft_programs", or empty.
std::string words_of_changes(const Earlier& earlier, const FiringDocument& document,
                             std::string_view stored);

} // namespace fettle
