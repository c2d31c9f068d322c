// What the person who unloads the kiln tells on the command line: cones and defects.
#pragma once

#include "compiler/judging/judge_firing.h"

#include <optional>
#include <string>

namespace fettle {

// The tables of the standard library. Throws where they are spoilt, which its tests rule out.
JudgingData standard_judging_data();

// Of `--cones` and `--defects`; what is wrong with them was said.
std::optional<UnloadingNotes> unloading_notes(const std::string& cones, const std::string& defects,
                                              const JudgingData& data);

} // namespace fettle
