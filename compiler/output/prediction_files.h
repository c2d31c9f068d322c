// A prediction as files: JSON for programs, the two curves as SVG, and a page.
#pragma once

#include "compiler/output/output_options.h"
#include "compiler/output/prediction_text.h"

#include <string>

namespace fettle {

// "fettle.prediction", described in docs/outputs.md.
void append_prediction_json(std::string& text, const FiringDocument& document,
                            const FiringPrediction& prediction,
                            const std::optional<EnergyPrice>& price);

// The curve asked, and over it what the kiln is expected to make.
std::string prediction_svg(const FiringDocument& document, const FiringPrediction& prediction,
                           const OutputOptions& options);

std::string prediction_page(const FiringDocument& document, const FiringPrediction& prediction,
                            const std::optional<EnergyPrice>& price, const OutputOptions& options);

} // namespace fettle
