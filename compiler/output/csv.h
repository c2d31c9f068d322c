// The segments of a firing as CSV (RFC 4180): UTF-8, CR LF, a header whose names carry the units,
// one row for each segment. What is not known is an empty cell.
#pragma once

#include "compiler/lowering/document.h"

#include <string>

namespace fettle {

// The scale decides the columns' names (`target_c` or `target_f`) with their values.
//
// Texts keep their letters; control characters and bytes that are no UTF-8 are spelled out
// ("<U+001B>"). A text cell that a spreadsheet would run as a formula (it starts with = + - @) gets
// an apostrophe before it, and a cone is written "cone 04" so that no spreadsheet makes it 4.
std::string csv(const FiringDocument& document, Scale scale = Scale::celsius);

} // namespace fettle
