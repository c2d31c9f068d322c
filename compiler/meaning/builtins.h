// Functions that every program has, and the questions to the curve that rules ask: one table.
#pragma once

#include "compiler/meaning/type.h"

#include <span>
#include <string_view>

namespace fettle {

enum class BuiltinId : std::uint8_t {
    min,
    max,
    abs,
    round,
    clamp,
    length,
    sum,
    temperature,
    boiling_point,
    fastest_kiln_rate,
    core_lag,
    wall_stress,
    inversion_strain,
    given,
    has,
    opposite,
    shelf_difference,
    // questions to the curve
    peak,
    start,
    duration,
    cone_reached,
    fastest_rise,
    fastest_fall,
    time_above,
    time_between,
    time_rising_between,
    time_falling_between,
    longest_soak,
    uses,
    lowest_temperature_in,
    vent_between,
    cone_asked,
    fastest_set_fall,
    opened_between,
    time_on_the_way_up,
    vent_on_the_way_up,
    hottest_cooling_with,
    confirms,
};

struct BuiltinParameter {
    std::string_view name;
    TypeId type = Types::poison; // poison: worked out from the arguments
};

struct Builtin {
    BuiltinId id;
    std::string_view name;
    bool of_curve = false; // only where there is a curve: in rules
    TypeId result = Types::poison;
    std::vector<BuiltinParameter> parameters;
    bool any_number = false; // min, max: takes two or more
    std::string_view about;
};

std::span<const Builtin> builtins();
// Index in builtins(); -1: none.
int find_builtin(std::string_view name);
TypeId atmosphere_type(Types& types); // one of oxidation, neutral, reduction
TypeId vent_type(Types& types);       // one of open, propped, closed

} // namespace fettle
