// Versions as Semantic Versioning 2.0.0 (semver.org) has them, with the examples of the standard
// itself, and SHA-256 on the vectors that NIST published with FIPS 180-4 ("abc", the 448-bit
// message, a million times "a").
#include "compiler/source/sha256.h"
#include "compiler/units/version.h"

#include <gtest/gtest.h>

namespace fettle {
namespace {

// Rule 11.4, "Example", and those of 11.2.
TEST(PublishedVersions, PrecedenceExamplesOfTheStandard) {
    const char* const rising[] = {"1.0.0-alpha", "1.0.0-alpha.1", "1.0.0-alpha.beta",
                                  "1.0.0-beta",  "1.0.0-beta.2",  "1.0.0-beta.11",
                                  "1.0.0-rc.1",  "1.0.0",         "2.0.0",
                                  "2.1.0",       "2.1.1"};
    for (std::size_t i = 0; i < std::size(rising); ++i) {
        for (std::size_t k = 0; k < std::size(rising); ++k) {
            const auto a = parse_version(rising[i]);
            const auto b = parse_version(rising[k]);
            ASSERT_TRUE(a && b);
            EXPECT_EQ(precedence(*a, *b), i <=> k) << rising[i] << " and " << rising[k];
        }
    }
}

// Rules 9 and 10.
TEST(PublishedVersions, ExamplesOfPreReleasesAndBuilds) {
    for (const char* text : {"1.0.0-alpha", "1.0.0-alpha.1", "1.0.0-0.3.7", "1.0.0-x.7.z.92",
                             "1.0.0-x-y-z.--", "1.0.0-alpha+001", "1.0.0+20130313144700",
                             "1.0.0-beta+exp.sha.5114f85", "1.0.0+21AF26D3----117B344092BD"}) {
        const auto version = parse_version(text);
        ASSERT_TRUE(version) << text;
        EXPECT_EQ(to_string(*version), text);
    }
    EXPECT_EQ(precedence(*parse_version("1.0.0+20130313144700"), *parse_version("1.0.0+21AF26D3")),
              std::strong_ordering::equal);
}

// Rule 2 (no leading zeros, non-negative) and 9 (identifiers are not empty, numeric ones without
// leading zeros).
TEST(PublishedVersions, WhatIsNoVersion) {
    for (const char* text : {"",          "1",        "1.2",
                             "1.2.3.4",   "01.2.3",   "1.02.3",
                             "1.2.03",    "-1.0.0",   "1.2.3-",
                             "1.2.3+",    "1.2.3-01", "1.2.3-a..b",
                             "1.2.3-a.",  "1.2.3-é",  "v1.2.3",
                             " 1.2.3",    "1.2.3 ",   "a.b.c",
                             "1.2.3+a+b", "1.2.3-+b", "99999999999999999999.0.0"})
        EXPECT_FALSE(parse_version(text)) << text;
}

TEST(PublishedSha256, VectorsOfNist) {
    EXPECT_EQ(sha256_of("abc"), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    EXPECT_EQ(sha256_of(""), "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
    EXPECT_EQ(sha256_of("abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq"),
              "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1");
    EXPECT_EQ(sha256_of(std::string(1000000, 'a')),
              "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0");
}

} // namespace
} // namespace fettle
