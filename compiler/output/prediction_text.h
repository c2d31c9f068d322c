// What `fettle simulate` says on a terminal: the curve asked and the curve expected, the lag by
// phase, what the kiln can't follow and what to change, the heat, the cones, the cooling.
#pragma once

#include "compiler/lowering/predict.h"
#include "compiler/output/show.h"

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace fettle {

// What the energy costs: the same price at all hours, or between the cheapest and the dearest hour.
struct EnergyPrice {
    std::string tariff;   // its title and name
    std::string currency; // may be empty
    double lowest_per_kwh = 0, highest_per_kwh = 0;
};

// Temperatures at which a kiln may be opened step by step (common practice), hottest first.
struct OpeningStep {
    double at_c;
    std::string_view what; // "prop the lid or the door a hand's breadth"
};
std::span<const OpeningStep> opening_steps();

// What can't be followed and what to change, one paragraph each; the first sentence is the finding.
std::vector<std::string> advice_on(const Schedule& schedule, const FiringPrediction& prediction,
                                   Scale scale);

// Why a prediction stops short, or empty: "the kiln never reaches 1300C: …".
std::string stopped_short(const Schedule& schedule, const FiringPrediction& prediction,
                          Scale scale);

std::string prediction_text(const FiringDocument& document, const FiringPrediction& prediction,
                            const std::optional<EnergyPrice>& price, const ShowOptions& options);

} // namespace fettle
