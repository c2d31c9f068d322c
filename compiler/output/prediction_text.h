// What `fettle simulate` says on a terminal: the curve asked and the curve expected, the lag by
// phase, what the kiln can't follow and what to change, the heat, the cones, the cooling.
#pragma once

#include "compiler/output/prediction_words.h"
#include "compiler/output/show.h"

#include <optional>
#include <string>

namespace fettle {

std::string prediction_text(const FiringDocument& document, const FiringPrediction& prediction,
                            const std::optional<EnergyPrice>& price, const ShowOptions& options);

} // namespace fettle
