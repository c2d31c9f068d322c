// The cautions that go with a schedule wherever it goes. One table, read by every output.
#pragma once

#include "compiler/lowering/document.h"

#include <string_view>
#include <vector>

namespace fettle {

// Those that apply to this firing, the gravest first. Where the fuel is not known, those of every
// fuel apply. The texts live as long as the program.
std::vector<std::string_view> cautions(const FiringDocument& document);

} // namespace fettle
