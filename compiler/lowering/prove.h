// Runs the tests that are written in the language: `test "…" { expect … }`.
#pragma once

#include "compiler/lowering/compile_firing.h"

#include <string_view>

namespace fettle {

struct TestOutcome {
    bool passed = false;
    std::string_view title;
    std::size_t expectations = 0; // that were looked at
};

// `test` is a usable declaration of that kind. What does not hold is reported, with the values on
// both sides; so is what keeps a firing of the test from being made.
TestOutcome run_test(const CompileContext& context, DeclarationId test, Diagnostics& diagnostics);

} // namespace fettle
