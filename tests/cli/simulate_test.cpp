// `fettle simulate`: what the kiln will make of a firing, and what is said where that can't be
// told.
#include "tests/cli/program.h"

#include <gtest/gtest.h>

namespace fettle::cli_test {
namespace {

constexpr std::string_view studio = R"(
use std.kilns (electric_studio)
kiln loft from electric_studio "The loft" { }
kiln tired from electric_studio "The tired one" { power 3kW }
firing mugs "Mugs" {
    kiln loft
    phase up { ramp to 1000C at 150C/h; soak 20m }
    phase down { cool to 100C freely }
}
firing slow "In the tired kiln" {
    kiln tired
    phase up { ramp to 1100C at 150C/h; soak 20m }
}
firing never "Never" {
    kiln tired
    phase up { ramp to 1250C at full; soak 20m }
}
firing nowhere "No kiln" { phase up { ramp to 1000C at 150C/h } }
kiln bare "A bare one" { power 3kW }
firing unknown "Unknown" { kiln bare; phase up { ramp to 1000C at 150C/h } }
tariff day { currency "shillings"; price 0.5/kWh }
)";

Ended simulate(std::string_view firing, Words more = {}) {
    const Folder folder;
    folder.write("studio.fettle", studio);
    Words words = {"simulate", "studio.fettle:" + std::string(firing)};
    words.insert(words.end(), more.begin(), more.end());
    return run(folder, words);
}

TEST(simulate, tells_what_to_expect) {
    const Ended ended = simulate("mugs");
    EXPECT_EQ(ended.code, 0);
    for (std::string_view part :
         {"Asked and expected, by phase", "The curve to expect", "peak          100", "cone 0",
          "Nothing", "kWh of power", "shillings by day", "it may be opened", "taken for"}) {
        EXPECT_TRUE(has(ended.out, part));
    }
}

TEST(simulate, tells_the_hour_of_opening) {
    EXPECT_TRUE(has(simulate("mugs", {"--starts", "18:00"}).out, "on day 2"));
    EXPECT_EQ(simulate("mugs", {"--starts", "teatime"}).code, 2);
}

TEST(simulate, tells_what_the_kiln_can_not_follow) {
    const Ended ended = simulate("slow");
    EXPECT_EQ(ended.code, 0);
    EXPECT_TRUE(has(ended.out, "Step 1, up: 150C/h is asked, but at full power the kiln makes"));
}

TEST(simulate, a_kiln_that_never_gets_there_is_an_error) {
    const Ended ended = simulate("never");
    EXPECT_EQ(ended.code, 1);
    EXPECT_TRUE(has(ended.out, "the kiln never reaches 1250C"));
}

TEST(simulate, says_what_is_missing) {
    const Ended nowhere = simulate("nowhere");
    EXPECT_EQ(nowhere.code, 1);
    EXPECT_TRUE(has(nowhere.err, "names no kiln"));
    const Ended unknown = simulate("unknown");
    EXPECT_EQ(unknown.code, 1);
    EXPECT_TRUE(has(unknown.err, "the model of the kiln needs volume and lining"));
    EXPECT_EQ(unknown.out, "");
}

TEST(simulate, other_tariffs_by_name_only) {
    EXPECT_EQ(simulate("mugs", {"--tariff", "day"}).code, 0);
    const Ended night = simulate("mugs", {"--tariff", "night"});
    EXPECT_EQ(night.code, 2);
    EXPECT_TRUE(has(night.err, "there is no tariff `night`"));
}

TEST(simulate, many_runs_are_the_same_from_any_number_of_threads) {
    const Ended one = simulate("mugs", {"--runs", "50", "--threads", "1"});
    EXPECT_TRUE(has(one.out, "Were it fired many times"));
    EXPECT_EQ(one.out, simulate("mugs", {"--runs", "50", "--threads", "3"}).out);
    EXPECT_NE(one.out, simulate("mugs", {"--runs", "50", "--seed", "2"}).out);
}

TEST(simulate, as_json_drawing_and_page) {
    EXPECT_TRUE(has(simulate("mugs", {"--as", "json"}).out, "\"format\": \"fettle.prediction\""));
    EXPECT_TRUE(has(simulate("mugs", {"--as", "svg"}).out, "as the model of the kiln expects it"));
    EXPECT_TRUE(has(simulate("mugs", {"--as", "html"}).out, "<h2>Asked and expected</h2>"));
    const Folder folder;
    folder.write("studio.fettle", studio);
    EXPECT_EQ(run(folder, {"simulate", "studio.fettle", "--as", "json"}).code, 2);
}

TEST(simulate, the_same_from_any_number_of_threads) {
    const Folder folder;
    folder.write("studio.fettle", studio);
    EXPECT_EQ(run(folder, {"simulate", "studio.fettle", "--threads", "1"}).out,
              run(folder, {"simulate", "studio.fettle", "--threads", "4"}).out);
}

} // namespace
} // namespace fettle::cli_test
