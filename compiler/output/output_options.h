// What a person may ask of every output that is made for people.
#pragma once

#include "compiler/units/quantity.h"

#include <optional>

namespace fettle {

struct OutputOptions {
    Scale scale = Scale::celsius;
    // Time of day at which the program is started, in seconds after midnight; any delay comes
    // after.
    std::optional<double> start_clock_s;
};

} // namespace fettle
