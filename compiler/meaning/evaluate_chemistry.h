// Materials and glazes: what their formulas, analyses and recipes come to, into the computed fields
// of their profiles.
#pragma once

#include "compiler/meaning/program.h"

namespace fettle {

// Whether these lines were written in the declaration at hand, or came with its parent.
struct WrittenHere {
    bool formula = false, analysis = false;
};

// `formula` is the node of the text, for messages; `none`: inherited or not there.
void work_out_material(Program& program, Profile& profile, WrittenHere written, Span formula,
                       const ChemistryTables& tables, Diagnostics& diagnostics);
void work_out_glaze(Program& program, Profile& profile, const ChemistryTables& tables,
                    Diagnostics& diagnostics);

} // namespace fettle
