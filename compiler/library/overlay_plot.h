// Two curves in one drawing made of characters: what was, what is, and where they are one.
#pragma once

#include "runtime/schedule/schedule.h"

#include <string>
#include <vector>

namespace fettle {

// Lines without line ends, none wider than `width`. `o` is the first, `*` the second, `=` both.
std::vector<std::string> plot_both(const Schedule& before, const Schedule& after, std::size_t width,
                                   std::size_t height);

} // namespace fettle
