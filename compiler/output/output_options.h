// What a person may ask of every output that is made for people.
#pragma once

#include "compiler/units/quantity.h"

#include <optional>

namespace fettle {

struct KeyChanges;

struct OutputOptions {
    Scale scale = Scale::celsius;
    // Time of day at which the program is started, in seconds after midnight; any delay comes
    // after.
    std::optional<double> start_clock_s;
    // Of the firing at hand, against an earlier table: marked in its keying sheet.
    const KeyChanges* changes = nullptr;
};

} // namespace fettle
