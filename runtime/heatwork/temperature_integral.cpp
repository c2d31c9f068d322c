#include "runtime/heatwork/temperature_integral.h"

#include <array>
#include <cmath>
#include <cstddef>

namespace fettle {
namespace {

constexpr double sixth_from_x = 32;
constexpr double twelfth_from_x = 10;
constexpr double fraction_from_x = 1;

// Of the convergents, lowest power first. Integers, so exact.
constexpr std::array<double, 6> sixth_top = {4320.0, 7092.0, 3168.0, 552.0, 40.0, 1.0};
constexpr std::array<double, 7> sixth_bottom = {5040.0, 15120.0, 12600.0, 4200.0, 630.0, 42.0, 1.0};
constexpr std::array<double, 12> twelfth_top = {
    5748019200.0, 23786386560.0, 29510248320.0, 16694596800.0, 5135155200.0, 940020480.0,
    107364096.0,  7797312.0,     357840.0,      9990.0,        154.0,        1.0};
constexpr std::array<double, 13> twelfth_bottom = {
    6227020800.0, 37362124800.0, 68497228800.0, 57081024000.0, 25686460800.0, 6849722880.0,
    1141620480.0, 122316480.0,   8494200.0,     377520.0,      10296.0,       156.0,
    1.0};

// In powers of 1/x, so that a large x does not overflow: the coefficients are read backwards.
template <std::size_t Size>
double reversed(const std::array<double, Size>& coefficients, double u) {
    double sum = coefficients[0];
    for (std::size_t i = 1; i < Size; ++i)
        sum = sum * u + coefficients[i];
    return sum;
}

// Modified Lentz on 1/(x+2 − 1·2/(x+4 − 2·3/(x+6 − …))).
double by_fraction(double x) {
    double b = x + 2;
    double c = 1e300;
    double d = 1 / b;
    double h = d;
    for (int i = 1; i < 200; ++i) {
        const double a = -i * (i + 1.0);
        b += 2;
        d = 1 / (a * d + b);
        c = b + a / c;
        const double step = c * d;
        h *= step;
        if (std::abs(step - 1) < 1e-16)
            break;
    }
    return h;
}

// exp(x)·(exp(−x) − x·E1(x)) with E1(x) = −γ − ln x − Σ (−x)ⁿ / (n·n!).
double by_series(double x) {
    constexpr double euler_gamma = 0.57721566490153286061;
    double term = 1;
    double sum = 0;
    for (int n = 1; n < 40; ++n) {
        term *= -x / n;
        sum += term / n;
        if (std::abs(term) < 1e-18)
            break;
    }
    const double e1 = -euler_gamma - std::log(x) - sum;
    return 1 - x * std::exp(x) * e1;
}

} // namespace

double scaled_e2(double x) {
    const double u = 1 / x;
    if (x >= sixth_from_x)
        return u * reversed(sixth_top, u) / reversed(sixth_bottom, u);
    if (x >= twelfth_from_x)
        return u * reversed(twelfth_top, u) / reversed(twelfth_bottom, u);
    return x >= fraction_from_x ? by_fraction(x) : by_series(x);
}

double temperature_integral(double theta_k, double temperature_k) {
    const double x = theta_k / temperature_k;
    return temperature_k * std::exp(-x) * scaled_e2(x);
}

double log_temperature_integral(double theta_k, double temperature_k) {
    const double x = theta_k / temperature_k;
    return std::log(temperature_k * scaled_e2(x)) - x;
}

} // namespace fettle
