// Profiles made from one another, and what their fields take.
#include "tests/language/programs.h"

#include <gtest/gtest.h>

namespace fettle {
namespace {

const Profile& profile_named(const Checked& checked, std::string_view name) {
    const Program& program = checked.compilation->program();
    for (const Declaration& declaration : program.declarations) {
        if (program.name(declaration.name) == name)
            return program.profiles[declaration.profile];
    }
    ADD_FAILURE() << "no profile " << name;
    return program.profiles[0];
}

TEST(Profiles, fields_are_copied_and_replaced) {
    constexpr std::string_view bodies = R"(
body stoneware "A stoneware" {
    kind stoneware
    matures cone 6
    thickness 8mm
    moisture 1%
}
body heron_grey from stoneware {
    thickness 6mm
})";
    EXPECT_EQ(value_of("heron_grey.thickness", bodies), "6mm");
    EXPECT_EQ(value_of("heron_grey.moisture", bodies), "1%");
    EXPECT_EQ(value_of("heron_grey.kind is stoneware", bodies), "yes");
    EXPECT_EQ(value_of("heron_grey.matures", bodies), "cone 6");
    EXPECT_EQ(value_of("stoneware.thickness", bodies), "8mm");
}

TEST(Profiles, limits_add_up) {
    const Checked checked = check_text(R"(
body stoneware {
    limit rise 150C/h between 540C and 630C
}
body heron_grey from stoneware {
    limit rise 100C/h between 540C and 630C
    limit peak cone 6
}
)");
    EXPECT_EQ(said(checked), "");
    EXPECT_EQ(profile_named(checked, "stoneware").limits.size(), 1u);
    EXPECT_EQ(profile_named(checked, "heron_grey").limits.size(), 3u);
}

TEST(Profiles, the_strictest_limit_holds) {
    const std::string bodies = R"(
body stoneware {
    limit rise 150C/h between 540C and 630C
}
body heron_grey from stoneware {
    limit rise 100C/h between 540C and 630C
}
firing mugs {
    body heron_grey
    phase bisque {
        ramp to 600C at )";
    EXPECT_EQ(said(check_text(bodies + "100C/h\n    }\n}\n")), "");
    const Checked at_120 = check_text(bodies + "120C/h\n    }\n}\n");
    EXPECT_EQ(at_120.diagnostics.count(Level::error), 1u) << said(at_120);
    const Checked at_160 = check_text(bodies + "160C/h\n    }\n}\n");
    EXPECT_EQ(at_160.diagnostics.count(Level::error), 2u) << said(at_160);
}

TEST(Profiles, one_lining_replaces_the_whole_lining) {
    const Checked checked = check_text(R"(
insulation brick {
    density 800kg/metre3
}
insulation blanket {
    density 128kg/metre3
}
kiln old {
    lining 115mm of brick
    lining 50mm of blanket
}
kiln relined from old {
    lining 75mm of blanket
}
kiln twin from old {
    volume 100L
}
)");
    EXPECT_EQ(said(checked), "");
    ASSERT_EQ(profile_named(checked, "relined").lining.size(), 1u);
    EXPECT_DOUBLE_EQ(profile_named(checked, "relined").lining[0].thickness_m, 0.075);
    EXPECT_EQ(profile_named(checked, "twin").lining.size(), 2u);
}

TEST(Profiles, shelves_and_controls_are_replaced_by_name) {
    const Checked checked = check_text(R"(
kiln yard {
    shelf top 8dC
    shelf bottom -10dC
    control damper one of shut, half, open
}
kiln yard_with_fan from yard {
    shelf bottom -3dC
    shelf middle 0dC
    control damper one of shut, open
    control gas Pressure
}
)");
    EXPECT_EQ(said(checked), "");
    const Profile& fan = profile_named(checked, "yard_with_fan");
    ASSERT_EQ(fan.shelves.size(), 3u);
    EXPECT_DOUBLE_EQ(fan.shelves[0].difference_k, 8);
    EXPECT_DOUBLE_EQ(fan.shelves[1].difference_k, -3);
    EXPECT_DOUBLE_EQ(fan.shelves[2].difference_k, 0);
    EXPECT_EQ(fan.controls.size(), 2u);
    EXPECT_EQ(profile_named(checked, "yard").controls.size(), 1u);
}

TEST(Profiles, any_price_replaces_all_prices) {
    const Checked checked = check_text(R"(
tariff day_and_night {
    currency "EUR"
    price 0.31/kWh
    price 0.18/kWh between 22:30 and 6:00
}
tariff flat from day_and_night {
    price 0.27/kWh
}
)");
    EXPECT_EQ(said(checked), "");
    EXPECT_EQ(profile_named(checked, "day_and_night").prices.size(), 2u);
    ASSERT_EQ(profile_named(checked, "flat").prices.size(), 1u);
    EXPECT_TRUE(profile_named(checked, "flat")
                    .fields[static_cast<std::size_t>(field::at(Holder::tariff, "currency"))]
                    .known());
}

TEST(Profiles, prices_have_days_and_studios_kilns) {
    const Checked checked = check_text(R"(
kiln loft {}
kiln annex {}
tariff nights {
    price 0.31/kWh
    price 0.18/kWh between 22:30 and 6:00 on weekdays, sunday
}
studio row {
    kilns loft, annex
    attended 18:00 to 02:00
}
)");
    EXPECT_EQ(said(checked), "");
    const Profile& nights = profile_named(checked, "nights");
    ASSERT_EQ(nights.prices.size(), 2u);
    EXPECT_EQ(nights.prices[0].days, every_day);
    EXPECT_EQ(nights.prices[1].days, 0x5f);
    const Profile& row = profile_named(checked, "row");
    const Value kilns = row.fields[static_cast<std::size_t>(field::at(Holder::studio, "kilns"))];
    ASSERT_TRUE(kilns.is(ValueKind::list));
    ASSERT_EQ(kilns.as_list().size(), 2u);
    EXPECT_TRUE(kilns.as_list()[0].is(ValueKind::profile));
    const Value hours = row.fields[static_cast<std::size_t>(field::at(Holder::studio, "attended"))];
    ASSERT_TRUE(hours.is(ValueKind::range));
    EXPECT_EQ(hours.low().number, 18 * 3600);
    EXPECT_EQ(hours.high().number, 2 * 3600);
}

TEST(Profiles, a_parent_may_come_later_and_from_another_parent) {
    constexpr std::string_view bodies = R"(
body pale from heron_grey {
    moisture 2%
}
body heron_grey from stoneware {
    thickness 6mm
}
body stoneware {
    thickness 8mm
    density 1900kg/metre3
})";
    EXPECT_EQ(value_of("pale.thickness", bodies), "6mm");
    EXPECT_EQ(value_of("pale.moisture", bodies), "2%");
}

TEST(Profiles, sizes_are_above_zero) {
    EXPECT_EQ(said(check_text("body heron_grey {\n    thickness 0mm\n}\n")),
              "error[not-positive]: `thickness` must be above zero\n");
    EXPECT_EQ(said(check_text("body heron_grey {\n    moisture 0%\n}\n")), "");
    EXPECT_EQ(said(check_text("kiln loft {\n    altitude 0metre\n}\n")), "");
}

} // namespace
} // namespace fettle
