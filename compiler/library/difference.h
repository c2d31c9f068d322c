// The semantic difference of two versions of a library: what compiles to something else, and not
// what is written otherwise. Names come and go, firings and templates have other segments, checks,
// heat work or acceptance, or only other words; and so follows how far the version has to rise.
#pragma once

#include "compiler/library/samples.h"
#include "compiler/library/version_on_disk.h"
#include "compiler/units/version.h"
#include "runtime/schedule/schedule.h"

#include <optional>
#include <string>
#include <vector>

namespace fettle {

enum class ChangeKind : std::uint8_t { removed, changed, added, words };
std::string_view to_string(ChangeKind kind);

// Two curves to lay over each other.
struct CurvePair {
    Schedule before, after;
};

struct Change {
    ChangeKind kind = ChangeKind::changed;
    VersionStep step = VersionStep::patch; // that it asks for
    std::string what;                      // "template"
    std::string name;                      // "bisque.gentle_bisque"
    std::string sample;                    // the arguments with which it shows; empty: of itself
    std::vector<std::string> lines;        // in what it differs
    std::optional<CurvePair> curves;
};

struct Difference {
    std::string library;              // "tidewater.glazes"
    std::string before, after;        // "0.3.0 (../shelf)"
    std::vector<Change> changes;      // the gravest first, then by name
    std::size_t same = 0;             // public names that mean the same
    std::size_t tried = 0;            // firings that were compiled on both sides
    std::vector<std::string> untried; // "bisque.x: there is nothing to try `glaze` with"
    VersionStep demands = VersionStep::same;
    Version last, now;
};

// Nothing: one of them does not compile, `problem` says where.
std::optional<Difference> difference(const LibraryVersion& before, const LibraryVersion& after,
                                     const Cache& cache, unsigned threads, std::string& problem);

// What `after` in the place of `before` does to the library `mine` that needs it.
std::optional<Difference> difference_for(const LibraryVersion& mine, const LibraryVersion& before,
                                         const LibraryVersion& after, const Cache& cache,
                                         unsigned threads, std::string& problem);

// The lowest version that the difference allows.
Version lowest_version(const Difference& difference);

} // namespace fettle
