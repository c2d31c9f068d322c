// `fettle calibrate`: a log that was made by simulating a stronger kiln teaches it.
#include "tests/cli/program.h"

#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

namespace fettle::cli_test {
namespace {

constexpr std::string_view studio = R"(
use std.kilns (electric_studio)
kiln loft from electric_studio { power POWER; furniture 20kg }
firing mugs {
    kiln loft
    ware { mass 12kg; thickness 6mm; state fired }
    phase up { ramp to 900C at full; soak 20m; ramp to 1150C at 150C/h; soak 10m }
    phase down { cool to 300C freely }
}
)";

std::string with_power(std::string_view power) {
    std::string text(studio);
    return text.replace(text.find("POWER"), 5, power);
}

// Invented: the log of a kiln of 7 kW.
std::string log_of_seven_kw(const Folder& folder) {
    folder.write("true.fettle", with_power("7kW"));
    const auto made =
        nlohmann::json::parse(run(folder, {"simulate", "true.fettle:mugs", "--as", "json"}).out);
    std::string csv = "time_s,kiln_c\n";
    for (const auto& point : made["curve"])
        csv += point["time_s"].dump() + "," + point["read_c"].dump() + "\n";
    return csv;
}

TEST(calibrate, learns_the_power_of_a_kiln) {
    const Folder folder;
    folder.write("log.csv", log_of_seven_kw(folder));
    folder.write("guess.fettle", with_power("8kW"));
    const Ended ended = run(folder, {"calibrate", "guess.fettle:mugs", "log.csv"});
    EXPECT_EQ(ended.code, 0) << ended.err;
    EXPECT_TRUE(has(ended.out, "kiln loft_learned from loft"));
    const std::size_t at = ended.out.find("    power ");
    ASSERT_NE(at, std::string::npos) << ended.out;
    EXPECT_NEAR(std::stod(ended.out.substr(at + 10)), 7, 0.1);
    EXPECT_TRUE(has(ended.out, "can't be learned from its own log"));
}

TEST(calibrate, says_what_it_needs) {
    const Folder folder;
    folder.write("guess.fettle", with_power("8kW"));
    folder.write("empty.csv", "");
    EXPECT_EQ(run(folder, {"calibrate", "guess.fettle:mugs"}).code, 2);
    EXPECT_NE(run(folder, {"calibrate", "guess.fettle:mugs", "empty.csv"}).code, 0);
    EXPECT_EQ(run(folder, {"calibrate", "guess.fettle:mugs", "empty.csv", "--cones", "6,6"}).code,
              2);
}

} // namespace
} // namespace fettle::cli_test
