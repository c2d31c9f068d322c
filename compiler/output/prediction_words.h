// What is said of a prediction, phrase by phrase: for the terminal and for the page alike.
#pragma once

#include "compiler/lowering/predict.h"
#include "compiler/output/output_options.h"

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <utility>
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
    std::string_view what;
};
std::span<const OpeningStep> opening_steps();

inline constexpr std::string_view prediction_caution =
    "A prediction by a model of the kiln, not a promise: elements age, and no two loads are alike.";
inline constexpr std::string_view opening_caution =
    "The temperatures are common practice; the slowest piece counts, and the maker's word comes "
    "first.";

class PredictionWords {
  public:
    using Pair = std::pair<std::string, std::string>; // a label, and what is said
    PredictionWords(const FiringDocument& document, const FiringPrediction& prediction,
                    const std::optional<EnergyPrice>& price, const OutputOptions& options)
        : document_(document), schedule_(*document.schedule), all_(prediction),
          p_(prediction.prediction), price_(price), options_(options) {}

    struct PhaseRow {
        std::string name, asked, takes, lag, ends, energy;
    };
    std::vector<PhaseRow> phases() const;
    std::vector<Pair> figures() const;         // few words each
    std::vector<Pair> expected() const;        // time, peak, cones
    std::vector<std::string> findings() const; // what the kiln can't follow; one at least
    std::string stopped() const;               // why it ends early; empty: it does not
    bool falls_short() const { return p_.end != FiringEnd::done; }
    std::vector<Pair> heat() const;
    std::vector<Pair> opening() const; // none where ware is drawn hot, or the firing stops short
    std::vector<Pair> many() const;    // of the runs with chances drawn, if there are any

  private:
    std::string time() const;
    std::vector<std::string> advice() const;
    std::string when(double time_s) const;
    std::optional<double> fall_k_per_h(double at_c) const;
    std::string range(double OneRun::*value, double factor, std::string_view unit) const;

    const FiringDocument& document_;
    const Schedule& schedule_;
    const FiringPrediction& all_;
    const Prediction& p_;
    const std::optional<EnergyPrice>& price_;
    const OutputOptions& options_;
};

} // namespace fettle
