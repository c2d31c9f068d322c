// `fettle show` for two firings, and for one firing on two controllers.
#include "tests/cli/program.h"

#include <gtest/gtest.h>

namespace fettle::cli_test {
namespace {

// A firing whose kiln has one controller, and two more.
constexpr std::string_view three_pads =
    R"(use std.controllers (times_few, rates_many, rates_climb_only)

kiln loft { controller loft_pad }
controller loft_pad from times_few "The loft pad" {}
controller annex_pad from rates_many "The annex pad" {}

firing tiles "Tiles" {
    kiln loft
    phase up {
        ramp to 600C at 100C/h
        ramp to 1000C at 90C/h with soak 10m
    }
    phase down { cool to 800C at 60C/h }
    phase cooling { cool to 60C freely }
}
)";

TEST(compare, two_firings_in_the_order_of_their_names) {
    const Folder folder;
    folder.write("class.fettle", class_day);
    const Ended ended =
        run(folder, {"show", "class.fettle:thin", "class.fettle:thick", "--compare"});
    EXPECT_EQ(ended.code, 0);
    EXPECT_TRUE(has(ended.out, "thick peaks 10C cooler."));
    const Ended turned =
        run(folder, {"show", "class.fettle:thick", "class.fettle:thin", "--compare"});
    EXPECT_TRUE(has(turned.out, "thin peaks 10C hotter."));
    // A file with two is enough.
    EXPECT_EQ(run(folder, {"show", "class.fettle", "--compare"}).out, ended.out);
}

TEST(compare, firings_of_two_files) {
    const Folder folder;
    folder.write("class.fettle", class_day);
    folder.write("mugs.fettle", mugs);
    const Ended ended =
        run(folder, {"show", "mugs.fettle:mugs", "class.fettle:thick", "--compare"});
    EXPECT_EQ(ended.code, 0);
    EXPECT_TRUE(has(ended.out, "thick takes 2h"));
    EXPECT_TRUE(has(ended.out, "not here")) << "a phase that only one of them has";
}

TEST(compare, without_it_both_are_shown_whole) {
    const Folder folder;
    folder.write("class.fettle", class_day);
    const Ended ended = run(folder, {"show", "class.fettle:thin", "class.fettle:thick"});
    EXPECT_TRUE(lacks(ended.out, "Two firings"));
    EXPECT_TRUE(has(ended.out, "Safety"));
}

TEST(compare, not_two) {
    const Folder folder;
    folder.write("mugs.fettle", mugs);
    const Ended one = run(folder, {"show", "mugs.fettle", "--compare"});
    EXPECT_EQ(one.code, 2);
    EXPECT_TRUE(has(one.err, "one firing is named; write FILE:NAME FILE:NAME"));
    EXPECT_TRUE(one.out.empty());
    folder.write("class.fettle", class_day);
    folder.write("pads.fettle", three_pads);
    EXPECT_EQ(run(folder, {"show", "mugs.fettle", "class.fettle", "--compare"}).code, 2);
    EXPECT_EQ(
        run(folder, {"show", "pads.fettle", "class.fettle", "--on", "loft_pad,annex_pad"}).code, 2);
}

TEST(compare, one_firing_on_two_controllers) {
    const Folder folder;
    folder.write("tiles.fettle", three_pads);
    const Ended ended = run(folder, {"show", "tiles.fettle:tiles", "--on", "loft_pad,annex_pad"});
    EXPECT_EQ(ended.code, 0) << ended.err;
    EXPECT_TRUE(has(ended.out, "Tiles on two controllers"));
    EXPECT_TRUE(has(ended.out, "The annex pad"));
    EXPECT_TRUE(has(ended.out, "100C/h"));
}

TEST(compare, on_another_controller) {
    const Folder folder;
    folder.write("tiles.fettle", three_pads);
    EXPECT_TRUE(has(run(folder, {"show", "tiles.fettle"}).out, "To key into The loft pad"));
    const Ended ended = run(folder, {"show", "tiles.fettle", "--on", "annex_pad"});
    EXPECT_EQ(ended.code, 0);
    EXPECT_TRUE(has(ended.out, "To key into The annex pad"));
    // One that can't fall at a set rate: no table, and it is said why.
    const Ended refused =
        run(folder, {"show", "tiles.fettle", "--on", "annex_pad,rates_climb_only"});
    EXPECT_EQ(refused.code, 1);
    EXPECT_TRUE(refused.out.empty());
    EXPECT_TRUE(has(refused.err, "rates_climb_only"));
}

TEST(compare, controllers_that_are_not_there) {
    const Folder folder;
    folder.write("tiles.fettle", three_pads);
    const Ended near = run(folder, {"show", "tiles.fettle", "--on", "anex_pad"});
    EXPECT_EQ(near.code, 2);
    EXPECT_TRUE(has(near.err, "did you mean `annex_pad`?"));
    EXPECT_EQ(run(folder, {"show", "tiles.fettle", "--on", "loft_pad,annex_pad,times_few"}).code,
              2);
    EXPECT_EQ(run(folder, {"show", "tiles.fettle", "--on", "loft_pad,"}).code, 0);
    EXPECT_EQ(run(folder, {"show", "tiles.fettle", "--on", ",loft_pad"}).code, 2);
}

} // namespace
} // namespace fettle::cli_test
