#include "compiler/source/nearest.h"

#include <gtest/gtest.h>
#include <string>

namespace fettle {
namespace {

std::string best(std::string_view wanted, std::vector<std::string_view> candidates) {
    return std::string(nearest(wanted, candidates).value_or("(none)"));
}

TEST(EditDistance, KnownDistances) {
    EXPECT_EQ(edit_distance("kitten", "sitting", 9), 3U);
    EXPECT_EQ(edit_distance("", "abc", 9), 3U);
    EXPECT_EQ(edit_distance("kiln", "klin", 9), 1U); // neighbours swapped
    EXPECT_EQ(edit_distance("ca", "abc", 9), 3U);    // each stretch is changed once
    EXPECT_EQ(edit_distance("same", "same", 0), 0U);
    EXPECT_EQ(edit_distance("gl\xC3\xBChen", "gluhen", 9), 1U); // one letter, not two bytes
}

TEST(EditDistance, StopsAtTheLimit) {
    EXPECT_EQ(edit_distance("abcdef", "uvwxyz", 2), 3U);
    EXPECT_EQ(edit_distance("a", "abcdef", 2), 3U);
}

TEST(Nearest, SlipsOfTheHand) {
    const std::vector<std::string_view> fields = {"thickness", "moisture", "matures", "bisque",
                                                  "ceiling",   "power",    "volume"};
    EXPECT_EQ(best("thikness", fields), "thickness");
    EXPECT_EQ(best("mosture", fields), "moisture");
    EXPECT_EQ(best("cieling", fields), "ceiling");
    EXPECT_EQ(best("bisk", fields), "(none)"); // three slips in four letters
    EXPECT_EQ(best("glaze", fields), "(none)");
    EXPECT_EQ(best("", fields), "(none)");
}

TEST(Nearest, CaseDoesNotCountButDecides) {
    EXPECT_EQ(best("Heron", {"heron"}), "heron");
    EXPECT_EQ(best("SIO2", {"SiO2", "TiO2"}), "SiO2");
    EXPECT_EQ(best("c", {"C", "F", "K"}), "C");
    EXPECT_EQ(best("heroN", {"HERON", "heron"}), "heron");
}

TEST(Nearest, ShortNamesNeedAlmostAllLetters) {
    EXPECT_EQ(best("x", {"y", "z"}), "(none)");
    EXPECT_EQ(best("ab", {"xy"}), "(none)");
    EXPECT_EQ(best("min", {"mix", "max"}), "mix");
}

TEST(Nearest, WordsInAnotherOrderAndBeginnings) {
    EXPECT_EQ(best("bisque_gentle", {"gentle_bisque", "gentle_glost"}), "gentle_bisque");
    EXPECT_EQ(best("thick", {"thickness", "volume"}), "thickness");
    EXPECT_EQ(best("the", {"thermal_mass", "thermocouple"}), "(none)"); // could be either
}

TEST(Nearest, TiesGoByTheAlphabetWhateverTheOrder) {
    EXPECT_EQ(best("mugz", {"mugx", "muga", "mugs"}), "muga");
    EXPECT_EQ(best("mugz", {"mugs", "mugx", "muga"}), "muga");
}

TEST(Nearest, SeveralBestFirst) {
    const std::vector<std::string_view> names = {"slab", "slabs", "slobs", "kiln", "slabs"};
    const std::vector<std::string_view> expected = {"slabs", "slab", "slobs"};
    EXPECT_EQ(nearest_all("slabs", names), expected);
    EXPECT_EQ(nearest_all("slabs", names, 1).size(), 1U);
}

TEST(Nearest, HugeNamesAreRefusedQuickly) {
    const std::string huge(1U << 20U, 'x');
    EXPECT_EQ(best(huge, {"kiln"}), "(none)");
    EXPECT_EQ(best("kiln", {huge}), "(none)");
}

} // namespace
} // namespace fettle
