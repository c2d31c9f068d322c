// Programs that continue one another: where one may end.
#pragma once

#include "compiler/target/stretches.h"

#include <string>

namespace fettle {

// A run of stretches that one chain of programs fires; between two parts the kiln falls by itself
// while a person waits.
struct Part {
    struct Fall {
        std::string words; // what to do until the part is started
    };
    std::vector<Stretch> stretches; // never empty
    std::optional<Fall> before;
};
// One part, unless there are falls in the middle that the controller can't be keyed for.
std::vector<Part> parts_between_falls(const std::vector<Stretch>& stretches, const Abilities& can);

// Where programs of at most `max_rows` rows end (one past their last row): as few as can be, and of
// those the ones that end coldest, never between the last climb to the peak and the end of the soak
// there. Empty: there is no such way.
std::vector<std::size_t> program_ends(const std::vector<StepRow>& rows, std::uint32_t max_rows);

} // namespace fettle
