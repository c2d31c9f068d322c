// The card for the class: the same firing as on the firing card, told for those who want to
// understand it. The curve large, what each phase is for, which rules it keeps and why.
#pragma once

#include "compiler/lowering/document.h"
#include "compiler/output/output_options.h"

#include <string>

namespace fettle {

// Appends the page. The document should have cones_expected.
void append_class_card(std::string& html, const FiringDocument& document,
                       const OutputOptions& options);

} // namespace fettle
