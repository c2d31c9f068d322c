// What to do when the power or the fire fails, phase by phase, in words.
#pragma once

#include "compiler/lowering/document.h"
#include "compiler/output/sheet_parts.h"

#include <string>

namespace fettle {

// Each appends a section; nothing where the document has nothing for it. The second is the table of
// what is left of the heat work near the top, of all phases that reach it.
void put_interruptions(std::string& html, const FiringDocument& document, Scale scale);
void put_heat_work_left(std::string& html, const FiringDocument& document, const Times& times,
                        Scale scale);

} // namespace fettle
