// The memories of the files that were asked for: which programs a controller keeps.
#pragma once

#include "compiler/cli/earlier.h"
#include "compiler/cli/reading.h"
#include "compiler/output/memory_sheet.h"

#include <string>

namespace fettle {

// Adds the firings that memories hold and that were not asked for themselves, behind those that
// were; gives the number of those.
std::size_t add_stored_firings(Reading& reading);

// Appends the sheet of one memory, whose firings are known to be sound. `earlier` may be null.
void append_memory(std::string& html, const Compilation& compilation, const Memory& memory,
                   const OutputOptions& options, const Earlier* earlier);

std::string name_of(const Program& program, const Memory& memory);
// "program 2 of loft_programs", of each memory that holds it; empty: none does.
std::string where_stored(const Compilation& compilation, DeclarationId firing);

} // namespace fettle
