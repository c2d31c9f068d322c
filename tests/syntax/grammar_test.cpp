#include "compiler/syntax/grammar_analysis.h"

#include <gtest/gtest.h>

namespace {

TEST(Grammar, EveryRuleGetsFurther) {
    EXPECT_EQ(fettle::problems_of_grammar(), 0U);
}

} // namespace
