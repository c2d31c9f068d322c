// Versions of libraries, by Semantic Versioning 2.0.0 (semver.org): "1.2.0", "2.0.0-beta.1", and
// what a `needs` line takes: "1", "0.3", "1.2.0".
#pragma once

#include <compare>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace fettle {

struct Version {
    std::uint64_t major = 0, minor = 0, patch = 0;
    std::string pre_release; // "beta.1"; empty: a release
    std::string build;       // after '+'; says nothing about the order

    bool operator==(const Version&) const = default;
};

// Nothing: it is none ("1.2", "01.2.3", "1.2.3-").
std::optional<Version> parse_version(std::string_view text);
std::string to_string(const Version& version);
// Which comes first; versions that differ in `build` alone are equal here (rule 10 and 11).
std::strong_ordering precedence(const Version& a, const Version& b);

// The newest that is compatible with `least` will do. Below 1.0 the minor number counts as major.
struct NeededVersion {
    Version least; // numbers that were left out are 0
    int given = 3; // numbers that were written: "1" is 1, "0.3" is 2
};
std::optional<NeededVersion> parse_needed_version(std::string_view text);
// A pre-release will do only for a need that names a pre-release of the same three numbers.
bool satisfies(const Version& version, const NeededVersion& needed);
// "from 0.3.0 to below 0.4.0", for messages.
std::string describe(const NeededVersion& needed);

// What a new version may differ in from the last one, from least to most.
enum class VersionStep : std::uint8_t { same, patch, minor, major };
// The lowest version after `last` for such a difference: 1.2.3 and minor → 1.3.0; 0.3.1 and major
// → 0.4.0; 0.3.1 and minor → 0.3.2.
Version next_version(const Version& last, VersionStep step);

} // namespace fettle
