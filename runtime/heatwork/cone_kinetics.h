// One cone as kinetics.
//
// A cone falls when its heat work is complete (first-order kinetics with an activation temperature
// θ):
//
//     W(t) = ∫ k(T(t)) dt = 1,    k(T) = A·exp(−θ/T)          T in kelvin, k in 1/h, t in hours
//
// For a steady climb of r K/h from cold that gives A·I(T) = r at the end point, I being the
// temperature integral. So R(T) = ∫₀^T k dT, in K/h, is the cone table read backwards: the steady
// rate of climb that ends at T. A ramp between two temperatures does |R(T₂) − R(T₁)| / rate of
// work, a soak k(T)·duration: both exact, nothing is stepped.
//
// Two numbers a cone meet a published table within 4 C. To meet it exactly, k is corrected between
// the coldest and the hottest published end point: R runs through every published point (Tᵢ, rᵢ) as
// the convex rational spline of Delbourgo & Gregory (SIAM J. Sci. Stat. Comput. 6, 967, 1985). R
// and k are continuous and both rise with temperature everywhere, so a hotter soak is always a
// shorter one and every search for a target has one answer. In the terms of a steady climb the
// correction is a smooth function of its rate; in any other firing it depends on the temperature
// alone, so there is no effective rate to define, nothing jumps, and a soak needs no rule of its
// own.
//
// Outside the published end points k is A·exp(−θ/T) again, with the θ of the neighbourhood
// (cone_fit.h), and answers there are marked as extrapolated.
#pragma once

#include "runtime/heatwork/cone_table.h"

#include <array>
#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

namespace fettle {

inline constexpr std::size_t max_rates = 6;  // published rates of one cone
inline constexpr std::size_t max_cones = 96; // of one scale
inline constexpr double hottest_c = 2500;    // no answer lies above

struct Arrhenius {
    double ln_a = 0;    // logarithm of A in 1/h
    double theta_k = 0; // θ in kelvin
};

// Where θ comes from.
enum class Slope : std::uint8_t {
    published, // two published rates or more of this very cone
    neighbours // one rate only: θ of the nearest cones that have more (an assumption)
};

struct ConeKinetics {
    double cone = 0; // position on the scale
    ConeKind kind = ConeKind::large;
    Slope slope = Slope::published;
    bool from_memory = false;  // one figure or more is
    bool rate_assumed = false; // the table names no rate
    double coldest_end_c = 0;  // of the published end points; outside them answers are extrapolated
    double hottest_end_c = 0;

    // At and below it an hour does less than 1e-14 of the cone's work, which sums take as none.
    double idle_c = -1000;

    Arrhenius plain; // two parameters: exactly through two points, by least squares through more

    // Corrected: `below` up to end_k[0], `above` from end_k[points − 1] on, the spline between. No
    // points: `below` everywhere.
    Arrhenius below, above;
    std::uint8_t points = 0;
    std::array<double, max_rates> end_k{}; // published end points, kelvin, ascending
    std::array<double, max_rates> rate_k_per_h{};
    std::array<double, max_rates> work_rate{}; // k at them, 1/h
};

// R(T) in K/h and k(T) in 1/h. 0 for a cold kiln.
double steady_rate(const ConeKinetics& cone, double temperature_c);
double work_rate(const ConeKinetics& cone, double temperature_c);

// R read forwards: where a steady climb from cold ends, in C; at most hottest_c. Rate above 0.
double end_point(const ConeKinetics& cone, double rate_k_per_h);

// Where work_rate reaches a value in 1/h: the temperature of the soak that takes 1/value hours.
double temperature_of_work_rate(const ConeKinetics& cone, double work_per_h);

// Whether a cone that falls at this temperature does so outside its published end points (by more
// than half a degree, as the table is in whole ones).
bool is_extrapolated(const ConeKinetics& cone, double temperature_c);

// Above it a stay of an hour does a hundredth of the cone's work or more.
double onset_c(const ConeKinetics& cone);

// For ConeKinetics::idle_c, from `below`.
double idle_temperature_c(const ConeKinetics& cone);

// The same cone by its two parameters alone, without the correction.
ConeKinetics without_correction(const ConeKinetics& cone);

// All cones of one kind, coldest first.
struct ConeScale {
    std::vector<ConeKinetics> cones;

    const ConeKinetics* find(double cone) const; // nullptr: not in this scale
};

// The law with this θ whose steady climb at the rate ends at the temperature (kelvin).
Arrhenius law_through(double theta_k, double temperature_k, double rate_k_per_h);

} // namespace fettle
