// The writing sheet: for kilns that are fired by hand, with gas, wood or a dial. The curve as a
// corridor to stay in, and a row every ten minutes with what to expect, what to set and do, and
// room for what was read.
#pragma once

#include "compiler/lowering/document.h"
#include "compiler/output/output_options.h"

#include <string>

namespace fettle {

// Appends the page. The document should have cones_expected.
void append_writing_sheet(std::string& html, const FiringDocument& document,
                          const OutputOptions& options);

} // namespace fettle
