// The firing card: what hangs beside the kiln while it fires, on one page where the firing is not
// very long. Head, curve, what to confirm, every step with its jobs and times and room for what was
// read, what to do when the power fails, cones, rules, acceptance, cautions.
#pragma once

#include "compiler/lowering/document.h"
#include "compiler/output/output_options.h"

#include <string>

namespace fettle {

// Appends the page. The document should have cones_expected and interruptions.
void append_firing_card(std::string& html, const FiringDocument& document,
                        const OutputOptions& options);

} // namespace fettle
