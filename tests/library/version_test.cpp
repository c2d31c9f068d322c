#include "compiler/units/version.h"

#include <gtest/gtest.h>

namespace fettle {
namespace {

bool fits(const char* version, const char* needed) {
    const auto a = parse_version(version);
    const auto b = parse_needed_version(needed);
    EXPECT_TRUE(a && b) << version << ", " << needed;
    return a && b && satisfies(*a, *b);
}

TEST(NeededVersion, TakesWhatIsCompatible) {
    EXPECT_TRUE(fits("1.0.0", "1"));
    EXPECT_TRUE(fits("1.9.3", "1"));
    EXPECT_FALSE(fits("2.0.0", "1"));
    EXPECT_FALSE(fits("0.9.0", "1"));
    EXPECT_TRUE(fits("1.2.0", "1.2"));
    EXPECT_TRUE(fits("1.3.0", "1.2"));
    EXPECT_FALSE(fits("1.1.9", "1.2"));
    EXPECT_TRUE(fits("1.2.4", "1.2.3"));
    EXPECT_FALSE(fits("1.2.2", "1.2.3"));
}

TEST(NeededVersion, BelowOneTheMinorNumberCountsAsMajor) {
    EXPECT_TRUE(fits("0.3.0", "0.3"));
    EXPECT_TRUE(fits("0.3.9", "0.3"));
    EXPECT_FALSE(fits("0.4.0", "0.3"));
    EXPECT_FALSE(fits("0.3.1", "0.3.2"));
    EXPECT_FALSE(fits("1.0.0", "0.3"));
    EXPECT_TRUE(fits("0.7.0", "0")); // any below 1.0, said so
}

TEST(NeededVersion, TakesPreReleasesOnlyWhereOneIsNamed) {
    EXPECT_FALSE(fits("2.0.0-beta.1", "1"));
    EXPECT_FALSE(fits("1.3.0-beta.1", "1.2"));
    EXPECT_TRUE(fits("1.3.0-beta.2", "1.3.0-beta.1"));
    EXPECT_FALSE(fits("1.3.0-alpha", "1.3.0-beta.1"));
    EXPECT_TRUE(fits("1.3.0", "1.3.0-beta.1"));
    EXPECT_FALSE(fits("1.4.0-beta.1", "1.3.0-beta.1"));
}

TEST(NeededVersion, IsRefusedWhereItIsNone) {
    for (const char* text : {"", "x", "1.", ".1", "01", "1.2.3.4", "1-beta", "1.02"})
        EXPECT_FALSE(parse_needed_version(text)) << text;
}

TEST(NextVersion, RisesByWhatTheDifferenceDemands) {
    const auto next = [](const char* last, VersionStep step) {
        return to_string(next_version(*parse_version(last), step));
    };
    EXPECT_EQ(next("1.2.3", VersionStep::major), "2.0.0");
    EXPECT_EQ(next("1.2.3", VersionStep::minor), "1.3.0");
    EXPECT_EQ(next("1.2.3", VersionStep::patch), "1.2.4");
    EXPECT_EQ(next("1.2.3", VersionStep::same), "1.2.3");
    EXPECT_EQ(next("0.3.1", VersionStep::major), "0.4.0");
    EXPECT_EQ(next("0.3.1", VersionStep::minor), "0.3.2");
    EXPECT_EQ(next("0.3.1", VersionStep::patch), "0.3.2");
    EXPECT_EQ(next("2.0.0-beta.1", VersionStep::patch), "2.0.0");
}

} // namespace
} // namespace fettle
