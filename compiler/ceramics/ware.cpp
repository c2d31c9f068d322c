#include "compiler/ceramics/ware.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace fettle {
namespace {

constexpr double zero_celsius_k = 273.15;
constexpr double seconds_per_hour = 3600;

// Table 34 of IAPWS R7-97.
constexpr double n1 = 0.11670521452767e4, n2 = -0.72421316703206e6, n3 = -0.17073846940092e2,
                 n4 = 0.12020824702470e5, n5 = -0.32325550322333e7, n6 = 0.14915108613530e2,
                 n7 = -0.48232657361591e4, n8 = 0.40511340542057e6, n9 = -0.23855557567849,
                 n10 = 0.65017534844798e3;
constexpr double triple_point_k = 273.15, critical_point_k = 647.096;
constexpr double triple_pressure_mpa = 611.213e-6, critical_pressure_mpa = 22.064;

// ΔT = r·(L/2)² / (n·a).
double shape_divisor(WareShape shape) {
    switch (shape) {
    case WareShape::wall: return 2;
    case WareShape::rod: return 4;
    case WareShape::ball: return 6;
    }
    return 2;
}

double lag_per_rate_h(double thickness_m, double a, WareShape shape) {
    const double half = thickness_m / 2;
    return half * half / (shape_divisor(shape) * a) / seconds_per_hour;
}

} // namespace

double standard_pressure_pa(double altitude_m) {
    const double h = std::clamp(altitude_m, -2000.0, 11000.0);
    constexpr double exponent = 9.80665 * 28.9644 / (8314.32 * 0.0065); // g·M / (R·lapse)
    return 101325 * std::pow(1 - 0.0065 * h / 288.15, exponent);
}

double saturation_pressure_pa(double temperature_c) {
    const double t = std::clamp(temperature_c + zero_celsius_k, triple_point_k, critical_point_k);
    const double theta = t + n9 / (t - n10);
    const double a = theta * theta + n1 * theta + n2;
    const double b = n3 * theta * theta + n4 * theta + n5;
    const double c = n6 * theta * theta + n7 * theta + n8;
    const double root = 2 * c / (-b + std::sqrt(b * b - 4 * a * c));
    return root * root * root * root * 1e6;
}

double saturation_temperature_c(double pressure_pa) {
    const double p = std::clamp(pressure_pa / 1e6, triple_pressure_mpa, critical_pressure_mpa);
    const double beta = std::sqrt(std::sqrt(p));
    const double e = beta * beta + n3 * beta + n6;
    const double f = n1 * beta * beta + n4 * beta + n7;
    const double g = n2 * beta * beta + n5 * beta + n8;
    const double d = 2 * g / (-f - std::sqrt(f * f - 4 * e * g));
    const double sum = n10 + d;
    return (sum - std::sqrt(sum * sum - 4 * (n9 + n10 * d))) / 2 - zero_celsius_k;
}

double boiling_point_c(double altitude_m) {
    return saturation_temperature_c(standard_pressure_pa(altitude_m));
}

double steam_overpressure_pa(double temperature_c, double altitude_m) {
    return std::max(0.0, saturation_pressure_pa(temperature_c) - standard_pressure_pa(altitude_m));
}

double diffusivity(double conductivity, double density, double specific_heat) {
    return conductivity / (density * specific_heat);
}

double core_lag_k(double thickness_m, double rate_k_per_h, double a, WareShape shape) {
    return rate_k_per_h * lag_per_rate_h(thickness_m, a, shape);
}

double rate_for_core_lag(double thickness_m, double lag_k, double a, WareShape shape) {
    return lag_k / lag_per_rate_h(thickness_m, a, shape);
}

double lag_settling_time_s(double thickness_m, double a) {
    constexpr double pi = std::numbers::pi;
    return thickness_m * thickness_m / (pi * pi * a) * std::log(100 * 32 / (pi * pi * pi));
}

WareStress stress_of_lag(double lag_k, double expansion_per_k, double stiffness_pa, double poisson,
                         double inversion) {
    const double strain = expansion_per_k * lag_k + inversion;
    const double stress = stiffness_pa * strain / (1 - poisson);
    return {.surface_pa = -stress * 2 / 3, .middle_pa = stress / 3};
}

double greatest_tension_pa(const WareStress& stress) {
    return std::max(stress.surface_pa, stress.middle_pa);
}

double inversion_strain(double lag_k, const Inversion& inversion, double share) {
    const double reach = std::min(1.0, std::abs(lag_k) / inversion.spread_k);
    return std::copysign(inversion.strain * share * reach, lag_k);
}

double tolerable_difference_k(double strength_pa, double expansion_per_k, double stiffness_pa,
                              double poisson) {
    return strength_pa * (1 - poisson) / (stiffness_pa * expansion_per_k);
}

} // namespace fettle
