// The keying sheet: what to enter into a controller, step by step, in its own order and scale, with
// boxes to tick, what to expect at the end of each step, how to check that it was stored, and where
// a wrong key would cost most. For someone who stands at the kiln and has never seen Fettle.
#pragma once

#include "compiler/lowering/document.h"
#include "compiler/output/output_options.h"

#include <string>

namespace fettle {

// Appends the page. Temperatures are in the scale of the controller, whatever the options say.
void append_keying_sheet(std::string& html, const FiringDocument& document,
                         const OutputOptions& options);

// All of it but the frame of the page: title, what to enter, how to check it, cautions. `what`
// stands above the title: "Keying sheet".
void put_keying(std::string& html, const FiringDocument& document, const OutputOptions& options,
                std::string_view what);

// The part of it that the overview of a controller's memory shows as well: every program of the
// firing, each under a heading of its own.
void put_programs(std::string& html, const FiringDocument& document, const OutputOptions& options);

} // namespace fettle
