// From a cone table to a scale of cones as kinetics. The full large-cone table takes some tens of
// microseconds, so it is done when a program first needs it.
//
// - Plain: A and θ of each cone from its own points: exactly through two, through more by least
//   squares of the misses in kelvin (Gauss–Newton).
// - Slopes of the neighbourhood: the logarithms of those θ, averaged over the cones around with a
// bell
//   of 2.5 cones' width; a cone counts by the square of its rates less one. One cone's few points
//   are rounded and scatter by a degree or two, which must not be extrapolated: with its own θ cone
//   021 would fall before 022 in a climb of 20 K/h. With the slope of the neighbourhood a hotter
//   cone needs more heat work in every firing from 0.3 to 1500 K/h, however it is shaped.
// - Corrected: see cone_kinetics.h. At inner points k is the mean of the two spans' mean slopes
//   (geometric, weighted by the other span's length); at the outer ones it is what the outer law
//   gives, held 25 % clear of the span's mean, because otherwise no convex curve exists.
//
// A cone with one published rate takes θ from the neighbourhood in its own table, or where that has
// no slopes at all from `slopes` (small cones from large ones of the same number); beyond the last
// cone with a slope, from that one. A row without a rate is taken to be at `assumed_rate`.
#pragma once

#include "runtime/heatwork/cone_kinetics.h"

namespace fettle {

inline constexpr double assumed_rate_k_per_h = 150; // the last climb of the tests of refractories

struct ConeFit {
    ConeScale scale; // no cones when the table is spoilt
    // What spoils the table, else the cones that are `uneven`.
    std::vector<ConeTableProblem> problems;
};

ConeFit fit_cones(const ConeTable& table, const ConeScale* slopes = nullptr);

// How far the steady climb of a row ends from the published figure, in K, with the two parameters
// alone and with the correction.
struct ConeResidual {
    double cone = 0;
    double rate_k_per_h = 0;
    double end_c = 0;
    double plain_k = 0;
    double corrected_k = 0;
};

// One for each row with a rate whose cone is in the scale, in the order of the table.
std::vector<ConeResidual> cone_residuals(const ConeScale& scale, const ConeTable& table);

} // namespace fettle
