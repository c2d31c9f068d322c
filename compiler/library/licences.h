// Licences by their SPDX identifiers ("CC-BY-4.0"), and expressions of them ("MIT OR Apache-2.0").
// The list is that of Debian's packages node-spdx-license-ids 3.0.12 and node-spdx-exceptions 2.3.0
// (both in the public domain), which took it from spdx.org; it is in spdx_licences.txt.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace fettle {

// Empty: all is well. Otherwise why not, with the nearest that would be.
std::string wrong_licence(std::string_view expression);
// All identifiers of the list that may be used, in the order of the alphabet.
std::vector<std::string_view> known_licences();

} // namespace fettle
