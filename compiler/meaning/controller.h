// A `controller` profile as the abilities that tables are made for.
#pragma once

#include "compiler/meaning/program.h"
#include "compiler/target/abilities.h"

#include <optional>

namespace fettle {

// Nothing: it does not say what its steps are.
std::optional<Abilities> abilities_of(const Program& program, const Profile& controller);
// What no table could be made for, said at the field.
void check_abilities(const Program& program, const Profile& controller, Diagnostics& diagnostics);

} // namespace fettle
