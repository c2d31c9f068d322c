// The classic ways to lose a kiln-load are caught, and good practice is left in peace.
#include "tests/stdlib/programs.h"

#include <gtest/gtest.h>

#include <set>

namespace fettle {
namespace {

std::string name_of(const testing::TestParamInfo<std::string>& info) {
    const std::size_t slash = info.param.rfind('/');
    return info.param.substr(slash + 1, info.param.rfind('.') - slash - 1);
}

class Loss : public testing::TestWithParam<std::string> {};

TEST_P(Loss, IsCaught) {
    const std::string rule = mark_of(GetParam(), "breaks");
    ASSERT_NE(rule, "") << "the first line says which rule is broken";
    const std::string group = mark_of(GetParam(), "for");
    SourceTree files;
    Diagnostics diagnostics;
    const Compilation compilation({GetParam()}, files, diagnostics);
    ASSERT_EQ(diagnostics.count(Level::error), 0u) << rendered(compilation, diagnostics);
    int firings = 0;
    for_each_firing(
        compilation,
        [&](const CompiledFiring& compiled) {
            ++firings;
            bool caught = false;
            for (const Check& check : compiled.document.checks) {
                if (check.rule != rule || check.result != CheckResult::broken)
                    continue;
                caught = true;
                EXPECT_NE(check.level, CheckLevel::advice);
                EXPECT_FALSE(check.reason.empty());
                EXPECT_FALSE(check.remedy.empty());
                EXPECT_TRUE(group.empty() || check.group == group) << check.group;
            }
            EXPECT_TRUE(caught) << "nothing says " << rule;
        },
        diagnostics);
    EXPECT_EQ(firings, 1);
    const std::string text = rendered(compilation, diagnostics);
    EXPECT_NE(text.find("rule " + rule), std::string::npos) << text;
}

INSTANTIATE_TEST_SUITE_P(Losses, Loss, testing::ValuesIn(programs_in("losses")), name_of);

class Good : public testing::TestWithParam<std::string> {};

TEST_P(Good, KeepsEveryRule) {
    SourceTree files;
    Diagnostics diagnostics;
    const Compilation compilation({GetParam()}, files, diagnostics);
    int firings = 0;
    for_each_firing(
        compilation,
        [&](const CompiledFiring& compiled) {
            ++firings;
            EXPECT_TRUE(compiled.ok);
            for (const Check& check : compiled.document.checks) {
                EXPECT_TRUE(check.result == CheckResult::holds ||
                            check.result == CheckResult::not_applicable)
                    << check.rule;
            }
        },
        diagnostics);
    EXPECT_EQ(firings, 1);
    EXPECT_TRUE(diagnostics.all().empty()) << rendered(compilation, diagnostics);
}

INSTANTIATE_TEST_SUITE_P(Practice, Good, testing::ValuesIn(programs_in("good")), name_of);

// A rule that nothing breaks proves nothing.
TEST(Rules, HaveEachALossThatTheyCatch) {
    std::set<std::string> caught;
    for (const std::string& path : programs_in("losses"))
        caught.insert(mark_of(path, "breaks"));
    OneText files("use std.glaze_rules as g\nlet x = 1\n");
    Diagnostics diagnostics;
    const Compilation compilation({"mugs.fettle"}, files, diagnostics);
    const Program& program = compilation.program();
    std::set<std::string> rules;
    for (const Declaration& declaration : program.declarations) {
        if (declaration.kind == DeclarationKind::rule)
            rules.insert(std::string(program.name(declaration.name)));
    }
    EXPECT_GE(rules.size(), 25u);
    EXPECT_EQ(caught, rules);
}

} // namespace
} // namespace fettle
