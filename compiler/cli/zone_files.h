// The time zone data of the system, by the name of a zone.
#pragma once

#include "runtime/plan/calendar.h"

#include <optional>
#include <string>

namespace fettle {

// From the folder of the variable TZDIR, else from /usr/share/zoneinfo. Nothing: `problem` says in
// plain words why.
std::optional<Zone> find_zone(const std::string& name, std::string& problem);

} // namespace fettle
