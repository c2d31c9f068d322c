// `fettle show` for two at once: two firings, or one firing on two controllers.
#pragma once

#include "compiler/cli/reading.h"
#include "compiler/output/show.h"

#include <cstdint>
#include <optional>
#include <string_view>
#include <vector>

namespace fettle {

// "loft_pad,annex_pad" as Program::profiles, at most two; none for "". Nothing: one is not there,
// or there are more; that was said.
std::optional<std::vector<std::uint32_t>> find_controllers(const Compilation& compilation,
                                                           std::string_view names);

// Two firings were picked, and no controller or one for both of them; or one firing and two
// controllers. Anything else is said to be a mistake.
ExitCode show_compared(Reading& reading, const std::vector<std::uint32_t>& controllers,
                       const ReadingOptions& options, const ShowOptions& shown);

} // namespace fettle
