// What a controller can do, as data: never a product. Degrees are those of its own scale.
#pragma once

#include "compiler/target/steps.h"

#include <string>
#include <string_view>
#include <vector>

namespace fettle {

enum class Can : std::uint8_t { unknown, no, yes };

struct Abilities {
    StepForm form = StepForm::duration_target;
    Scale scale = Scale::celsius;
    std::optional<double> max_steps; // nothing: not given, so no limit is known
    std::optional<double> programs;
    // What it can be keyed in steps of. Where the profile is silent: a minute and whole degrees,
    // as controllers have (common practice).
    double time_step_s = 60;
    double temperature_step = 1;
    double rate_step = 1; // degrees an hour
    std::optional<double> longest_step_s;
    std::optional<double> slowest_rate, fastest_rate; // degrees an hour
    std::optional<double> longest_delay_s;
    // A step that goes to its target as fast as the kiln can, and ends when it is there.
    Can full_rate = Can::unknown;
    Can waits = Can::unknown;   // holds the clock until the kiln has caught up
    Can cooling = Can::unknown; // steps that fall
};

// Two abilities that can't both be true, or one that leaves nothing to do.
struct Contradiction {
    std::string_view field;   // of the profile
    std::string_view against; // the other one; empty: it contradicts itself
    std::string message;
    std::string mend;
};
std::vector<Contradiction> contradictions(const Abilities& abilities);

} // namespace fettle
