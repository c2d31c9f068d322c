// What the kiln will really do with a compiled firing: the runtime's prediction, with what a reader
// asks of it by phase, by shelf and in words.
#pragma once

#include "compiler/lowering/compile_firing.h"
#include "runtime/kiln/many_runs.h"
#include "runtime/kiln/simulate.h"

#include <optional>
#include <string>
#include <vector>

namespace fettle {

// How a phase goes: asked and predicted.
struct PhasePrediction {
    std::uint32_t phase = 0; // Schedule::phases; one that comes back later is listed again
    std::uint32_t first_segment = 0, end_segment = 0; // one past its last
    double begin_s = 0, end_s = 0;
    std::optional<double> asked_s; // nothing where part of it is the kiln's own time
    double behind_k = 0;           // largest lag of the reading behind what is asked
    double ahead_k = 0;            // and the other way
    double end_c = 0;              // what is read at its end
    double waited_s = 0, full_power_s = 0;
    double supplied_j = 0;
};

// The heat work at a place in the kiln.
struct ShelfPrediction {
    std::string name; // empty: where the sensor is
    double difference_k = 0;
    HeatWorkReached reached; // of the predicted curve; views into `names`
    double position = 0;     // ConeReading::position
};

// A segment that the kiln can't follow, and why.
struct CannotFollow {
    enum class Why : std::uint8_t {
        too_little_power, // at full power, and still behind
        cools_slower,     // without power, and still too hot
        sluggish,         // power to spare: the control needs time
    } why = Why::too_little_power;
    std::uint32_t segment = 0;
    double from_c = 0; // what is asked when it is first behind
    std::optional<double> asked_k_per_h;
    double made_k_per_h = 0; // what the kiln makes from there on
    double at_end_k = 0;     // how far off it ends, > 0 too cold
    double worst_k = 0;
};

struct PredictOptions {
    SimulateOptions simulate;
    std::size_t runs = 0; // how often with chances drawn; 0: not at all
    std::uint64_t seed = 1;
    InParallel in_parallel = one_after_the_other;
};

struct FiringPrediction {
    std::vector<std::string> missing; // fields of the kiln; then there is nothing else
    std::vector<std::string> assumed;
    KilnModel model;
    Prediction prediction;
    std::vector<PhasePrediction> phases;
    std::vector<ShelfPrediction> shelves; // hottest first; one at least
    std::vector<CannotFollow> cannot_follow;
    RunVariation variation; // of the many runs
    ManyRuns many;       // none where none were asked for
    std::uint64_t seed = 1;
    KeptTexts names;

    bool usable() const { return missing.empty() && prediction.end != FiringEnd::bad_model; }
};

// `firing` is whole (its schedule at least) and has a kiln.
FiringPrediction predict(const CompileContext& context, const CompiledFiring& firing,
                         const PredictOptions& options = {});

} // namespace fettle
