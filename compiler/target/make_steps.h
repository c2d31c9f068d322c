// From a schedule to the table of a controller (language reference, "The table of a controller"):
// rounded to what can be keyed, simplified where it is too long and that was allowed, or split into
// programs that continue one another.
#pragma once

#include "compiler/source/diagnostic.h"
#include "compiler/source/kept_texts.h"
#include "compiler/target/abilities.h"
#include "compiler/target/stretches.h"

#include <functional>
#include <span>
#include <string>
#include <vector>

namespace fettle {

// Why there is no table. The caller knows the line that a segment came from.
struct StepsRefusal {
    static constexpr std::uint32_t whole_firing = ~std::uint32_t{0};

    DiagnosticKind kind{};
    std::uint32_t segment = whole_firing;
    std::string message;
    std::string mend;       // may be empty
    std::string_view field; // of the controller's profile that says so; empty: none
};

struct StepsOptions {
    std::string_view firing; // names; must outlive the steps
    std::string_view controller;
    std::optional<double> simplify_within_k; // nothing: not allowed
    bool split = false;                      // programs that continue one another, if need be
    HeatAim aim;
    // The rows (from 0) of a table with one program that break a rule; empty: none does. It is
    // asked about tables that were simplified; a row that covers several segments is then undone.
    std::function<std::vector<std::uint32_t>(const Steps&)> rows_that_break_a_rule;
};

struct StepsResult {
    std::optional<Steps> steps;
    std::vector<StepsRefusal> refusals; // none where there are steps
};

StepsResult make_steps(const Schedule& schedule, const Abilities& can, const StepsOptions& options,
                       KeptTexts& kept);

} // namespace fettle
