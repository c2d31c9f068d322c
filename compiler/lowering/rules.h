// Checks a schedule against the rules that apply to its firing, for each group of ware.
#pragma once

#include "compiler/lowering/document.h"
#include "compiler/lowering/rule_book.h"
#include "compiler/meaning/firing.h"
#include "runtime/heatwork/heat_work.h"
#include "runtime/schedule/curve.h"

#include <span>
#include <vector>

namespace fettle {

// Of which checks the title and the reason are worked out: what holds is asked for in class only.
enum class RuleWords : std::uint8_t { of_broken, of_all };

// One check for each rule and group of ware. Broken and unknown ones are reported too, and so are
// waivers that nothing needs. `made_by` has, for each segment, its step in `firing.steps`. Texts
// are kept in `kept`. `controller` (Program::profiles) stands in for the kiln's own.
std::vector<Check> check_rules(const Program& program, const Ceramics& ceramics,
                               const RuleBook& book, const Firing& firing, const Schedule& schedule,
                               std::span<const std::uint32_t> made_by, const ConeReading& reading,
                               KeptTexts& kept, Diagnostics& diagnostics,
                               RuleWords words = RuleWords::of_broken,
                               std::uint32_t controller = none);

} // namespace fettle
