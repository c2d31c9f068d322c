#include "compiler/ceramics/cone_words.h"

#include "compiler/units/quantity.h"

#include <fmt/format.h>

namespace fettle {

std::string describe(const ConeDataProblem& problem) {
    using Kind = ConeDataProblem::Kind;
    const auto in_line = [&](std::string_view what) {
        return fmt::format("line {}: {}", problem.line, what);
    };
    switch (problem.kind) {
    case Kind::missing_column: return fmt::format("there is no column `{}`", problem.text);
    case Kind::unclosed_quote: return in_line("a quote is never closed");
    case Kind::short_row: return in_line("this row has fewer fields than the first line names");
    case Kind::unknown_cone: return in_line(fmt::format("`{}` is no cone", problem.text));
    case Kind::bad_number: return in_line(fmt::format("`{}` is no number", problem.text));
    }
    return {};
}

std::string describe(const ConeTableProblem& problem) {
    using Kind = ConeTableProblem::Kind;
    const std::string cone = "cone " + cone_name(problem.cone);
    const std::string other = "cone " + cone_name(problem.other_cone);
    switch (problem.kind) {
    case Kind::no_rows: return "the table has no rows";
    case Kind::too_many_cones: return "the table has too many cones";
    case Kind::too_many_rates: return fmt::format("{} has figures at too many rates", cone);
    case Kind::out_of_range:
        return fmt::format("{} ends at {}C at {}C/h, which can't be: an end point is from 100C to "
                           "2500C, a rate from 1C/h to 3000C/h",
                           cone, problem.value, problem.rate_k_per_h);
    case Kind::repeated:
        return fmt::format("{} stands there twice at {}C/h", cone, problem.rate_k_per_h);
    case Kind::falls_with_rate:
        return fmt::format("{} ends at {}C at {}C/h, no hotter than in a slower climb, {}C", cone,
                           problem.value, problem.rate_k_per_h, problem.other_value);
    case Kind::out_of_order:
        return fmt::format("{} ends at {}C at {}C/h, no hotter than {}, which is before it: {}C",
                           cone, problem.value, problem.rate_k_per_h, other, problem.other_value);
    case Kind::hole: return fmt::format("{} is missing below {}", other, cone);
    case Kind::missing_rate:
        return fmt::format("{} has no figure at {}C/h, as most cones have", cone,
                           problem.rate_k_per_h);
    case Kind::rate_unknown:
        return fmt::format("{} ends at {}C, but at which rate is not said", cone, problem.value);
    case Kind::uneven: return fmt::format("no smooth curve runs through the figures of {}", cone);
    }
    return {};
}

} // namespace fettle
