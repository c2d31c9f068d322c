// The pages of `fettle explain`: Markdown files that are built into the program.
#pragma once

#include <string_view>

namespace fettle {

// The page of a diagnostic's name; empty: it has none.
std::string_view explanation(std::string_view name);

} // namespace fettle
