// How the tests of this folder read a literal.
#pragma once

#include "compiler/units/quantity.h"

#include <gtest/gtest.h>

#include <string>

namespace fettle {

inline Quantity quantity(std::string_view literal) {
    const auto result = parse_quantity(literal);
    if (const auto* problem = std::get_if<LiteralProblem>(&result)) {
        ADD_FAILURE() << '"' << literal << "\" was refused (kind "
                      << static_cast<int>(problem->kind) << ", suggestion \"" << problem->suggestion
                      << "\")";
        return {};
    }
    return std::get<Quantity>(result);
}

inline double value(std::string_view literal) {
    return quantity(literal).value;
}

inline LiteralProblem refused(std::string_view literal) {
    const auto result = parse_quantity(literal);
    if (const auto* read = std::get_if<Quantity>(&result)) {
        ADD_FAILURE() << '"' << literal << "\" was read as " << read->value;
        return {};
    }
    return std::get<LiteralProblem>(result);
}

// The literal with the suggestion put in place of the part at fault; "" where there is none.
inline std::string mended(std::string_view literal) {
    const LiteralProblem problem = refused(literal);
    if (problem.suggestion.empty()) {
        return {};
    }
    std::string text(literal);
    return text.replace(problem.begin, problem.end - problem.begin, problem.suggestion);
}

} // namespace fettle
