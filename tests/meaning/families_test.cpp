// Families of glazes: `for each` in a recipe.
#include "tests/language/programs.h"

#include <gtest/gtest.h>

namespace fettle {
namespace {

constexpr std::string_view ends = R"(
material spar { formula "KAlSi3O8" }
material chalk { formula "CaCO3" }
material flint { formula "SiO2" }
glaze one { recipe { spar 80; chalk 20 }; fires cone 6 to cone 9 }
glaze two { recipe { spar 50; chalk 10; flint 30 }; add { chalk 10 }; fires cone 8 to cone 10 }
)";

const GlazeFamily& family_of(const Checked& checked) {
    const Program& program = checked.compilation->program();
    EXPECT_EQ(program.families.size(), 1u) << said(checked);
    return program.families.front();
}

double amount(const Program& program, const GlazeMember& member, std::string_view material) {
    for (const ProfileShare& share : member.profile.recipe) {
        const Profile& profile = program.profiles[share.material];
        if (program.name(program.declarations[profile.declaration].name) == material)
            return share.amount;
    }
    return 0;
}

TEST(Families, a_line_between_two) {
    const Checked checked = check_text(std::string(ends) + R"(
glaze line { recipe { for each b in [0, 40, 100] { one 100 - b; two b } } }
)");
    const GlazeFamily& line = family_of(checked);
    const Program& program = checked.compilation->program();
    ASSERT_EQ(line.members.size(), 3u);
    EXPECT_EQ(line.members[1].label, "b 40");
    EXPECT_EQ(amount(program, line.members[0], "flint"), 0);
    EXPECT_NEAR(amount(program, line.members[1], "spar"), 0.6 * 80 + 0.4 * 50, 1e-9);
    EXPECT_NEAR(amount(program, line.members[1], "chalk"), 0.6 * 20 + 0.4 * 20, 1e-9);
    EXPECT_NEAR(amount(program, line.members[2], "flint"), 30, 1e-9);
    // A blend by dry weight is between its ends in every share of mass.
    const GlazeChemistry& middle = program.glazes[line.members[1].profile.chemistry];
    EXPECT_NEAR(middle.loss, 0.2 * 0.439712, 1e-5);
}

TEST(Families, a_triangle_between_three) {
    const Checked checked = check_text(std::string(ends) + R"(
glaze three { recipe {
    flint 5
    for each a in [0, 50, 100] { for each b in [0, 50, 100] { when a + b <= 100 {
        one a
        two b
        chalk 100 - a - b
    } } }
} }
)");
    const GlazeFamily& triangle = family_of(checked);
    ASSERT_EQ(triangle.members.size(), 6u);
    EXPECT_EQ(triangle.members[4].row, 1u);
    EXPECT_EQ(triangle.members[4].column, 1u);
    for (const GlazeMember& member : triangle.members)
        EXPECT_GE(amount(checked.compilation->program(), member, "flint"), 5);
}

TEST(Families, what_a_fire_for_all_has_to_mind) {
    const std::string program = std::string(ends) + R"(
glaze line { recipe { for each b in [0, 50, 100] { one 100 - b; two b } } }
)";
    EXPECT_EQ(value_of("line.fires", program), "cone 8 to cone 9");
    EXPECT_EQ(value_of("line.gas_until", program), "900C");
    EXPECT_EQ(value_of("line.unity.SiO2 > one.unity.SiO2", program), "yes");
    EXPECT_EQ(value_of("given(line.silica_per_alumina)", program), "no");
}

TEST(Families, no_members_and_parts_below_nothing) {
    EXPECT_NE(said(check_text(std::string(ends) + R"(
glaze none_at_all { recipe { for each a in [1] { when a > 1 { one a } } } }
)"))
                  .find("no members"),
              std::string::npos);
    EXPECT_NE(said(check_text(std::string(ends) + R"(
glaze under { recipe { for each a in [1, 2] { one 1 - a; two 1 } } }
)"))
                  .find("can't be weighed out"),
              std::string::npos);
}

} // namespace
} // namespace fettle
