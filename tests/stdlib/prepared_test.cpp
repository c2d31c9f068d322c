// What was worked out while Fettle was built is what would be worked out now.
#include "compiler/ceramics/ceramics.h"
#include "compiler/prepare/prepared.h"
#include "compiler/syntax/parse.h"
#include "tests/stdlib/programs.h"

#include <gtest/gtest.h>

namespace fettle {
namespace {

void expect_same(const Node& was, const Node& is) {
    EXPECT_EQ(was.kind, is.kind);
    EXPECT_EQ(was.length, is.length);
    EXPECT_EQ(was.flag, is.flag);
    EXPECT_EQ(was.count, is.count);
    EXPECT_EQ(was.begin, is.begin);
    EXPECT_EQ(was.first_child, is.first_child);
}

TEST(Prepared, TreesAreThoseOfTheTexts) {
    EXPECT_EQ(prepared_trees().size(), StandardLibrary::modules().size());
    for (const PreparedTree& tree : prepared_trees()) {
        SCOPED_TRACE(tree.name);
        const std::string_view text = StandardLibrary::text(tree.name);
        ASSERT_FALSE(text.empty());
        const SourceFile file(std::string(tree.name), std::string(text));
        Diagnostics diagnostics;
        const Tree parsed = parse(0, file, diagnostics);
        ASSERT_EQ(tree.nodes.size(), parsed.nodes.size());
        for (std::size_t i = 0; i < parsed.nodes.size() && !testing::Test::HasFailure(); ++i)
            expect_same(tree.nodes[i], parsed.nodes[i]);
    }
}

// To the last digit, as they are fitted on the machine that they were prepared on.
TEST(Prepared, ConesAreThoseOfTheTables) {
    const Ceramics ceramics(StandardLibrary::text("data/cones_large.csv"),
                            StandardLibrary::text("data/cones_pce.csv"));
    const std::vector<ConeKinetics>& cones = ceramics.shelf_cones().cones;
    ASSERT_EQ(prepared_cones().size(), cones.size());
    const auto laws = [](const ConeKinetics& cone) {
        return std::array{cone.plain.ln_a,    cone.plain.theta_k, cone.below.ln_a,
                          cone.below.theta_k, cone.above.ln_a,    cone.above.theta_k};
    };
    for (std::size_t i = 0; i < cones.size(); ++i) {
        const ConeKinetics &was = prepared_cones()[i], &is = cones[i];
        SCOPED_TRACE(is.cone);
        EXPECT_EQ(was.cone, is.cone);
        EXPECT_EQ(was.kind, is.kind);
        EXPECT_EQ(was.slope, is.slope);
        EXPECT_EQ(was.from_memory, is.from_memory);
        EXPECT_EQ(was.rate_assumed, is.rate_assumed);
        EXPECT_EQ(was.coldest_end_c, is.coldest_end_c);
        EXPECT_EQ(was.hottest_end_c, is.hottest_end_c);
        EXPECT_EQ(was.idle_c, is.idle_c);
        EXPECT_EQ(laws(was), laws(is));
        EXPECT_EQ(was.points, is.points);
        EXPECT_EQ(was.end_k, is.end_k);
        EXPECT_EQ(was.rate_k_per_h, is.rate_k_per_h);
        EXPECT_EQ(was.work_rate, is.work_rate);
    }
}

// Of a module of the library, and of a file of one's own with the same bytes.
TEST(Prepared, HashIsThatOfTheBytes) {
    OneText files{std::string(StandardLibrary::text("std/rules.fettle"))};
    Diagnostics diagnostics;
    const Compilation compilation({"mugs.fettle"}, files, diagnostics);
    const auto& read = compilation.context().origin->files;
    ASSERT_EQ(read.size(), 2u);
    EXPECT_EQ(read[0].path, "mugs.fettle");
    EXPECT_EQ(read[1].path, "std/rules.fettle");
    EXPECT_EQ(read[0].sha256, read[1].sha256);
}

} // namespace
} // namespace fettle
