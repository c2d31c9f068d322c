#include "compiler/target/abilities.h"

#include <fmt/format.h>

#include <cmath>

namespace fettle {

namespace {

bool is_whole(double value) {
    return std::fabs(value - std::round(value)) < 1e-9 * std::fmax(1, std::fabs(value));
}

} // namespace

std::vector<Contradiction> contradictions(const Abilities& can) {
    std::vector<Contradiction> found;
    const char degree = can.scale == Scale::celsius ? 'C' : 'F';
    const auto count = [&](std::string_view field, const std::optional<double>& number) {
        if (number && (!is_whole(*number) || *number < 1)) {
            found.push_back(
                {field,
                 {},
                 fmt::format("`{}` is {}, but it counts {}: 1, 2, 3 …", field,
                             print_number(*number), field == "programs" ? "programs" : "steps"),
                 "write how many it takes, or leave the line out"});
        }
    };
    count("max_steps", can.max_steps);
    count("programs", can.programs);
    if (can.longest_step_s && *can.longest_step_s < can.time_step_s) {
        found.push_back(
            {"longest_step", "time_step",
             fmt::format("the longest step is {}, shorter than the {} that times are "
                         "keyed in: no step could be entered",
                         print_duration(*can.longest_step_s), print_duration(can.time_step_s)),
             "look both up in the booklet, and write what it says"});
    }
    if (can.fastest_rate && *can.fastest_rate < can.rate_step * (1 - 1e-9)) {
        found.push_back(
            {"rates", "rate_step",
             fmt::format("the fastest rate is {0}{2}/h, less than the {1}{2}/h that "
                         "rates are keyed in: no rate could be entered",
                         print_number(*can.fastest_rate), print_number(can.rate_step), degree),
             "look both up in the booklet, and write what it says"});
    }
    if (can.fastest_rate && *can.fastest_rate <= 0) {
        found.push_back({"rates",
                         {},
                         "the fastest rate is not above zero: no climb could be entered",
                         "write the slowest and the fastest rate: `rates 1C/h to 999C/h`"});
    }
    if (can.slowest_rate && *can.slowest_rate < 0) {
        found.push_back(
            {"rates",
             {},
             "the slowest rate is below zero; rates of a fall are written as of a climb",
             "write the slowest and the fastest rate: `rates 1C/h to 999C/h`"});
    }
    for (const auto& [field, step] :
         {std::pair<std::string_view, double>{"temperature_step", can.temperature_step},
          {"rate_step", can.rate_step}}) {
        if (step <= 0) {
            found.push_back({field,
                             {},
                             fmt::format("`{}` is not above zero: nothing could be entered", field),
                             "write the smallest step of its display"});
        }
    }
    if (can.temperature_step > 100) {
        found.push_back({"temperature_step",
                         {},
                         fmt::format("temperatures would be keyed in steps of {} degrees, too "
                                     "coarse to fire by",
                                     print_number(can.temperature_step)),
                         "write the smallest step of its display: `temperature_step 1C`"});
    }
    return found;
}

} // namespace fettle
