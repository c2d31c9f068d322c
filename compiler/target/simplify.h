// Fewer pieces for a curve, as near to it as that can be: some of its corners are kept, the rest is
// drawn straight between them, and no corner moves.
//
// Of all ways to keep corners that fit into `max_rows`, the one whose largest deviation (degrees,
// at the same time) is least; of those the one with the fewest rows, then the least sum of squared
// deviations, then the earliest corners. Found exactly: a search for the deviation, each step of it
// a shortest path over the pieces that stay that near. Whether a piece does is known in constant
// time, by the wedge of directions in which all corners so far are near enough (H. Imai, M. Iri,
// "Polygonal approximations of a curve", in: Computational Morphology, 1988; the wedge:
// J. O'Rourke, Communications of the ACM 24, 574, 1981).
#pragma once

#include <cstdint>
#include <optional>
#include <utility>
#include <vector>

namespace fettle {

struct Corner {
    double time_s = 0;
    double temperature_c = 0;
    bool stays = false; // must be kept
};

// What a piece between two corners costs, and whether there may be one.
struct PieceCosts {
    bool soaks_are_free = false; // a level piece after one that is not takes no row of its own
    double longest_s = 1e18;     // longer ones take several rows
    double slowest_k_per_s = 0;
    double fastest_k_per_s = 1e18;
    double least_k = 0; // level, or at least this much up or down
    std::vector<std::pair<std::uint32_t, std::uint32_t>> forbidden; // corners; sorted
};

struct Simplified {
    std::vector<std::uint32_t> kept; // corners, first and last included
    std::uint32_t rows = 0;
    double deviation_k = 0; // the largest
    double deviation_s = 0; // where it is: the corner's time
};

// `corners` ascend in time, at least two. Neighbours are always joined, whatever their rate.
// Nothing: it can't be done within `most_k`.
std::optional<Simplified> simplify(const std::vector<Corner>& corners, const PieceCosts& costs,
                                   std::uint32_t max_rows, double most_k);

// With any deviation at all: the fewest rows that there can be.
std::uint32_t fewest_rows(const std::vector<Corner>& corners, const PieceCosts& costs);

} // namespace fettle
