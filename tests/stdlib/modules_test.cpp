// The modules of the standard library: each is clean by itself, and its lists agree with its data.
#include "compiler/ceramics/cone_data.h"
#include "compiler/lowering/prove.h"
#include "tests/stdlib/programs.h"

#include <gtest/gtest.h>

#include <algorithm>

namespace fettle {
namespace {

std::string module_name(const testing::TestParamInfo<std::string>& tested) {
    return tested.param.substr(tested.param.rfind('.') + 1);
}

std::string file_name(const testing::TestParamInfo<std::string>& tested) {
    const std::size_t slash = tested.param.rfind('/');
    return tested.param.substr(slash + 1, tested.param.rfind('.') - slash - 1);
}

// "std/bodies.fettle" of "std.bodies"
std::string file_of(std::string module) {
    std::replace(module.begin(), module.end(), '.', '/');
    return module + ".fettle";
}

class StandardModule : public testing::TestWithParam<std::string> {};

TEST_P(StandardModule, IsCleanByItself) {
    OneText files("use " + GetParam() + " as all\nlet x = 1\n");
    Diagnostics diagnostics;
    const Compilation compilation({"mugs.fettle"}, files, diagnostics);
    for (const Diagnostic& diagnostic : diagnostics.all()) {
        // The import itself is not used by this program.
        EXPECT_EQ(diagnostic.kind, DiagnosticKind::unused_import)
            << rendered(compilation, diagnostics);
    }
    EXPECT_LE(diagnostics.all().size(), 1u) << rendered(compilation, diagnostics);
    for (const Declaration& declaration : compilation.program().declarations)
        EXPECT_TRUE(declaration.usable);
}

// What is not looked for in every run, because it is here: rules that contradict themselves.
TEST_P(StandardModule, IsCleanAsAFileOfOnesOwn) {
    OneText files{std::string(StandardLibrary::text(file_of(GetParam())))};
    Diagnostics diagnostics;
    const Compilation compilation({"mugs.fettle"}, files, diagnostics, RulesAlwaysOn::off);
    EXPECT_TRUE(diagnostics.all().empty()) << rendered(compilation, diagnostics);
}

INSTANTIATE_TEST_SUITE_P(Modules, StandardModule, testing::ValuesIn(StandardLibrary::modules()),
                         module_name);

// Everything that a reader meets has a title or words of its own.
TEST(StandardLibraryWords, EveryDeclarationHasATitle) {
    for (const std::string& name : StandardLibrary::modules()) {
        OneText files("use " + name + " as all\nlet x = 1\n");
        Diagnostics diagnostics;
        const Compilation compilation({"mugs.fettle"}, files, diagnostics);
        const Program& program = compilation.program();
        for (const Declaration& declaration : program.declarations) {
            const Module& module = program.modules[declaration.module];
            const bool titled = declaration.kind == DeclarationKind::profile ||
                                declaration.kind == DeclarationKind::phase ||
                                declaration.kind == DeclarationKind::template_ ||
                                declaration.kind == DeclarationKind::rule;
            if (!titled)
                continue;
            EXPECT_TRUE(module.tree.present(module.child(declaration.node, 3)))
                << module.name << "." << program.name(declaration.name);
        }
    }
}

// std.cones names the cones that the tables have.
TEST(StandardCones, AreThoseOfTheData) {
    OneText files(
        "use std.cones as c\n"
        "let large = c.large_cones\nlet small = c.small_cones\nlet high = c.high_cones\n");
    Diagnostics diagnostics;
    const Compilation compilation({"mugs.fettle"}, files, diagnostics);
    ASSERT_TRUE(diagnostics.all().empty()) << rendered(compilation, diagnostics);
    const Program& program = compilation.program();
    const auto list = [&](std::string_view name) {
        std::vector<double> cones;
        for (const Declaration& declaration : program.declarations) {
            if (declaration.kind != DeclarationKind::constant ||
                program.name(declaration.name) != name || declaration.module != 0) {
                continue;
            }
            for (const Value& value : declaration.value.as_list())
                cones.push_back(value.number);
        }
        return cones;
    };
    const auto table = [](std::string_view path, ConeKind kind) {
        const auto read = read_cone_table(StandardLibrary::text(path), kind);
        std::vector<double> cones;
        for (const ConeRow& row : std::get<ConeTable>(read).rows) {
            if (cones.empty() || cones.back() != row.cone)
                cones.push_back(row.cone);
        }
        return cones;
    };
    EXPECT_EQ(list("large"), table("data/cones_large.csv", ConeKind::large));
    EXPECT_EQ(list("small"), table("data/cones_small.csv", ConeKind::small));
    EXPECT_EQ(list("high"), table("data/cones_pce.csv", ConeKind::high));
}

// The tests that are written in the language.
class Proof : public testing::TestWithParam<std::string> {};

TEST_P(Proof, Holds) {
    SourceTree files;
    Diagnostics diagnostics;
    const Compilation compilation({GetParam()}, files, diagnostics);
    ASSERT_EQ(diagnostics.count(Level::error), 0u) << rendered(compilation, diagnostics);
    const auto tests = compilation.tests();
    EXPECT_FALSE(tests.empty());
    for (DeclarationId test : tests) {
        const TestOutcome outcome = run_test(compilation.context(), test, diagnostics);
        EXPECT_TRUE(outcome.passed) << outcome.title << "\n" << rendered(compilation, diagnostics);
        EXPECT_GT(outcome.expectations, 0u);
    }
}

INSTANTIATE_TEST_SUITE_P(Proofs, Proof, testing::ValuesIn(programs_in("proofs")), file_name);

} // namespace
} // namespace fettle
