// The limits of the language: what is just within them works, what is past them is named.
#include "tests/language/programs.h"

#include <gtest/gtest.h>

namespace fettle {
namespace {

std::string repeated(int outer, int inner) {
    return "firing mugs {\n    phase only {\n        repeat " + std::to_string(outer) +
           " times {\n            repeat " + std::to_string(inner) +
           " times {\n                soak 1m\n            }\n        }\n    }\n}\n";
}

bool says(const Checked& checked, DiagnosticKind kind) {
    for (const Diagnostic& each : checked.diagnostics.all()) {
        if (each.kind == kind)
            return true;
    }
    return false;
}

TEST(Limits, ten_thousand_segments) {
    const Checked most = check_text(repeated(1000, 10));
    ASSERT_EQ(most.schedules.size(), 1u) << said(most);
    EXPECT_EQ(most.schedules[0].segments.size(), 10'000u);
    const Checked more = check_text(repeated(137, 73)); // 10 001
    EXPECT_TRUE(more.schedules.empty());
    EXPECT_EQ(said(more), "error[too-many-segments]: mugs has more than 10000 segments\n");
}

TEST(Limits, a_thousand_repeats) {
    EXPECT_EQ(said(check_text(repeated(1000, 1))), "");
    EXPECT_TRUE(says(check_text(repeated(1001, 1)), DiagnosticKind::bad_count));
}

std::string nested_blocks(int depth) {
    std::string text = "firing mugs {\n    phase only {\n";
    for (int i = 0; i < depth; ++i)
        text += "when yes {\n";
    text += "soak 1m\n";
    for (int i = 0; i < depth; ++i)
        text += "}\n";
    return text + "    }\n}\n";
}

std::string nested_brackets(int depth) {
    return "let x = " + std::string(static_cast<std::size_t>(depth), '(') + "1" +
           std::string(static_cast<std::size_t>(depth), ')') + "\n";
}

TEST(Limits, sixty_four_levels) {
    EXPECT_EQ(said(check_text(nested_blocks(60))), "");
    EXPECT_TRUE(says(check_text(nested_blocks(64)), DiagnosticKind::too_deeply_nested));
    EXPECT_EQ(said(check_text(nested_brackets(60))), "");
    EXPECT_TRUE(says(check_text(nested_brackets(65)), DiagnosticKind::too_deeply_nested));
    EXPECT_TRUE(says(check_text(nested_brackets(100'000)), DiagnosticKind::too_deeply_nested));
}

TEST(Limits, phases_in_one_another) {
    // A chain of phases is no nesting in a file, but must end well however long it is.
    const auto chain = [](int length) {
        std::string text = "firing mugs {\n    phase only {\n        follow p0\n    }\n}\n";
        for (int i = 0; i < length; ++i) {
            text += "phase p" + std::to_string(i) + " {\n    follow p" + std::to_string(i + 1) +
                    "\n}\n";
        }
        return text + "phase p" + std::to_string(length) + " {\n    soak 1m\n}\n";
    };
    EXPECT_EQ(said(check_text(chain(64))), "");
    const Checked deep = check_text(chain(5000));
    EXPECT_TRUE(deep.schedules.size() == 1 || says(deep, DiagnosticKind::too_deep)) << said(deep);
}

TEST(Limits, functions_in_one_another) {
    const auto chain = [](int length) {
        std::string text = "let end = f0(1)\n";
        for (int i = 0; i < length; ++i) {
            text += "function f" + std::to_string(i) + "(x: Number) -> Number = f" +
                    std::to_string(i + 1) + "(x) + 1\n";
        }
        return text + "function f" + std::to_string(length) + "(x: Number) -> Number = x\n";
    };
    EXPECT_EQ(said(check_text(chain(64))), "");
    const Checked deep = check_text(chain(5000));
    EXPECT_TRUE(!deep.diagnostics.has_errors() || says(deep, DiagnosticKind::too_deep))
        << said(deep);
}

TEST(Limits, work_that_multiplies) {
    EXPECT_TRUE(says(check_text(R"(
function a(x: Number) -> Number = x + x + x + x + x + x + x + x + x + x
function b(x: Number) -> Number = a(x) + a(x) + a(x) + a(x) + a(x) + a(x) + a(x) + a(x) + a(x)
function c(x: Number) -> Number = b(x) + b(x) + b(x) + b(x) + b(x) + b(x) + b(x) + b(x) + b(x)
function d(x: Number) -> Number = c(x) + c(x) + c(x) + c(x) + c(x) + c(x) + c(x) + c(x) + c(x)
function e(x: Number) -> Number = d(x) + d(x) + d(x) + d(x) + d(x) + d(x) + d(x) + d(x) + d(x)
function f(x: Number) -> Number = e(x) + e(x) + e(x) + e(x) + e(x) + e(x) + e(x) + e(x) + e(x)
function g(x: Number) -> Number = f(x) + f(x) + f(x) + f(x) + f(x) + f(x) + f(x) + f(x) + f(x)
let h = g(1) + g(2) + g(3) + g(4)
)"),
                     DiagnosticKind::too_much_work));
}

} // namespace
} // namespace fettle
