// A correction of the top as an edit of the source: the lines that ask for the climb to the top and
// for the soak there, with other numbers in them.
//
// - A target or a soak that is a number is replaced by the new number.
// - A target that is a cone becomes a temperature, and its soak a line of its own: by the cones,
// the
//   sensor's cone is not the ware's.
// - Lines that come from the standard library can't be edited; the `follow` that leads there is
//   replaced by the lines that it stands for.
#pragma once

#include "compiler/judging/judge_firing.h"
#include "compiler/source/diagnostic.h"

#include <optional>
#include <string>
#include <vector>

namespace fettle {

struct NextEdit {
    FileId file = 0;
    std::vector<Edit> edits;
    std::string new_text; // of the whole file
    std::string inside;   // "the template glost": what is edited, where it is not the firing itself
};

// Or why there is none.
struct NextEditResult {
    std::optional<NextEdit> edit;
    std::string why_not;
};
NextEditResult next_edit(const Program& program, const CompiledFiring& firing, const NextTime& next,
                         const Correction& choice);

// Lines of both texts that differ, three lines around them, as a unified difference.
std::string difference_of(std::string_view path, std::string_view before, std::string_view after);

} // namespace fettle
