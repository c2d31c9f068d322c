// Names of the files of firings.
#pragma once

#include "compiler/cli/reading.h"

namespace fettle {

// Reports firings, and memories, whose files would replace one another: of the same name in
// different files, or of names that differ in capitals only, which many disks take for the same.
void report_clashes(Reading& reading);

// The text with capital letters made small, in the scripts that have them.
std::string small_letters(std::string_view text);

} // namespace fettle
