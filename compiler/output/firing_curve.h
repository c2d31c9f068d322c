// The curve of a firing's document as a picture: the output `svg`, and the curve of its card.
#pragma once

#include "compiler/lowering/document.h"
#include "compiler/output/curve_svg.h"
#include "compiler/output/output_options.h"

#include <string>

namespace fettle {

// What the document has to draw: title, clock times, cones where they fall. Views point into the
// document and `title`.
CurveSvgOptions curve_options(const FiringDocument& document, const OutputOptions& options);

// The output `svg`.
std::string curve_file(const FiringDocument& document, const OutputOptions& options);

} // namespace fettle
