// The temperature integral of thermal analysis, to near machine precision and without a heap.
#pragma once

namespace fettle {

// exp(x) · E2(x) for x > 0, where E2(x) = ∫₁^∞ exp(−x t) / t² dt. Falls from 1 at x = 0 to 1/(x +
// 2) for large x. Relative error below 3e-13.
//
// A convergent of the continued fraction 5.1.22 of Abramowitz & Stegun, written as one fraction of
// polynomials: the sixth from x = 32 on, where cones are, the twelfth from 10 on; below 10 the
// fraction is run until it stands still, and below 1 the power series 5.1.11 takes over. The fourth
// convergent is the rational approximation of Senum & Yang (J. Thermal Anal. 11, 445, 1977), whose
// numerator has 86, not 88.
double scaled_e2(double x);

// I(T) = ∫₀^T exp(−θ/τ) dτ = T·exp(−θ/T) − θ·E1(θ/T) = T · E2(θ/T), in kelvin.
// θ (activation temperature E/R) and T in kelvin, both above 0.
double temperature_integral(double theta_k, double temperature_k);

// The logarithm of it, which does not underflow for a cold kiln.
double log_temperature_integral(double theta_k, double temperature_k);

} // namespace fettle
