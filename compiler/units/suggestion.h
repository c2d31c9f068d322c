// What someone may have meant by a unit that there is none of.
#pragma once

#include <string>
#include <string_view>

namespace fettle {

// The right spelling for one part of a unit ("KW" -> "kW", "hrs" -> "h", "ºC" -> "C"), or empty.
std::string nearest_unit(std::string_view part);

} // namespace fettle
