// A predicted firing as the planner takes it: in minutes, with what it draws and when somebody has
// to be there.
#pragma once

#include "compiler/lowering/predict.h"
#include "runtime/plan/plan.h"

#include <optional>

namespace fettle {

// Temperatures of the kiln at which it may be opened, and unloaded (common practice).
inline constexpr double open_at_c = 100;
inline constexpr double unload_at_c = 50;

// From this far below the predicted peak on, rising, it is the top of the firing; it is left once
// the kiln is a quarter of that below it for good.
inline constexpr double near_top_k = 100;

// Nothing where the prediction does not come to its end (FiringPrediction::usable,
// Prediction::end), or the kiln never cools to be unloaded. A kiln that is opened hot is ready when
// its ware has been drawn. A kiln that burns fuel draws nothing from the supply.
std::optional<PlannedFiring> planned_firing(const CompiledFiring& firing,
                                            const FiringPrediction& prediction);

// The dampest ware of a firing that has not been through a fire yet.
struct RawWare {
    std::optional<double> moisture; // a share; nothing: not known
};
std::optional<RawWare> raw_ware(const FiringDocument& document);

// What to say about raw ware that waits so long in a shut kiln; empty: not worth a word.
std::string remark_on_waiting(const RawWare& ware, int wait_min);

} // namespace fettle
