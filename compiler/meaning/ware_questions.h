// What a program asks about a wall of a body: core_lag, wall_stress, inversion_strain.
#pragma once

#include "compiler/meaning/builtins.h"
#include "compiler/meaning/program.h"

namespace fettle {

// At a steady rate, K/h. Unknown, with the field that is missing, where the body does not say
// enough.
Value ask_ware(const Profile& body, BuiltinId question, double thickness_m, double rate_k_per_h);

} // namespace fettle
