// Slips of the pen that leave a schedule whole, and yet are hardly ever meant: a cone with a zero
// too many, Fahrenheit marked C, a soak that goes on until the next cone falls. All are cautions.
#pragma once

#include "compiler/meaning/firing.h"
#include "runtime/schedule/schedule.h"

#include <span>

namespace fettle {

// Hotter than almost any ware is fired, and usual when it is read in Fahrenheit.
bool looks_like_fahrenheit(double celsius);

// `made_by` has, for each segment, the index of its step in `firing.steps`.
void report_slips(const Program& program, const Ceramics& ceramics, const Firing& firing,
                  const Schedule& schedule, std::span<const std::uint32_t> made_by,
                  Diagnostics& diagnostics);

} // namespace fettle
