#include "runtime/heatwork/cone_kinetics.h"

#include "runtime/heatwork/root.h"
#include "runtime/heatwork/temperature_integral.h"

#include <algorithm>
#include <cmath>

namespace fettle {
namespace {

constexpr double zero_celsius_k = 273.15;
constexpr double coldest_k = 150; // nothing is reckoned below
constexpr double hottest_k = hottest_c + zero_celsius_k;

double rate_of(const Arrhenius& law, double t) {
    const double x = law.theta_k / t;
    return std::exp(law.ln_a - x) * t * scaled_e2(x);
}

double work_rate_of(const Arrhenius& law, double t) {
    return std::exp(law.ln_a - law.theta_k / t);
}

// Newton in 1/T, in which ln R is nearly straight.
double end_point_of(const Arrhenius& law, double guess_k, double rate) {
    const double target = std::log(rate);
    double t = guess_k;
    for (int i = 0; i < 60; ++i) {
        const double x = law.theta_k / t;
        const double e2 = scaled_e2(x);
        const double miss = law.ln_a - x + std::log(t * e2) - target;
        const double next = 1 / std::max(1 / t + miss * e2 / t, 1 / (2 * hottest_k));
        const bool still = std::abs(next - t) <= 1e-12 * t;
        t = std::max(next, coldest_k);
        if (still || t == coldest_k)
            break;
    }
    return t;
}

// One span of the spline: R = r + h·(Δ·s − s(1 − s)·α·β / (β + s(α − β))), s from 0 to 1, where α
// is how far k at the cold end lies below the mean Δ of the span, β how far k at the hot end lies
// above it.
struct Span {
    double t, r, h, mean, alpha, beta;
};

Span span_at(const ConeKinetics& cone, std::size_t i) {
    const double h = cone.end_k[i + 1] - cone.end_k[i];
    const double mean = (cone.rate_k_per_h[i + 1] - cone.rate_k_per_h[i]) / h;
    return {cone.end_k[i], cone.rate_k_per_h[i],     h,
            mean,          mean - cone.work_rate[i], cone.work_rate[i + 1] - mean};
}

double rate_in(const Span& span, double t) {
    const double s = (t - span.t) / span.h;
    const double bend = span.alpha * span.beta / (span.beta + s * (span.alpha - span.beta));
    return span.r + span.h * (span.mean * s - s * (1 - s) * bend);
}

double work_rate_in(const Span& span, double t) {
    const double s = (t - span.t) / span.h;
    const double d = span.beta + s * (span.alpha - span.beta);
    const double bend = span.beta * (1 - s) * (1 - s) - span.alpha * s * s;
    return span.mean - span.alpha * span.beta * bend / (d * d);
}

// rate_in solved for t: a quadratic in s.
double end_point_in(const Span& span, double rate) {
    const double v = (rate - span.r) / span.h;
    const double gamma = span.alpha - span.beta;
    const double a = span.mean * gamma + span.alpha * span.beta;
    const double b = span.beta * (span.mean - span.alpha) - v * gamma;
    const double root = std::sqrt(std::max(0.0, b * b + 4 * a * v * span.beta));
    const double s = b >= 0 ? 2 * v * span.beta / (b + root) : (root - b) / (2 * a);
    return span.t + span.h * std::clamp(s, 0.0, 1.0);
}

// Index of the span that holds the value; the values ascend and the first is below it.
std::size_t span_of(const std::array<double, max_rates>& values, std::size_t count, double value) {
    std::size_t i = 0;
    while (i + 2 < count && values[i + 1] < value)
        ++i;
    return i;
}

} // namespace

double steady_rate(const ConeKinetics& cone, double temperature_c) {
    const double t = temperature_c + zero_celsius_k;
    if (t < coldest_k)
        return 0;
    if (cone.points == 0 || t <= cone.end_k[0])
        return rate_of(cone.below, t);
    if (t >= cone.end_k[cone.points - 1u])
        return rate_of(cone.above, t);
    return rate_in(span_at(cone, span_of(cone.end_k, cone.points, t)), t);
}

double work_rate(const ConeKinetics& cone, double temperature_c) {
    const double t = temperature_c + zero_celsius_k;
    if (t < coldest_k)
        return 0;
    if (cone.points == 0 || t <= cone.end_k[0])
        return work_rate_of(cone.below, t);
    if (t >= cone.end_k[cone.points - 1u])
        return work_rate_of(cone.above, t);
    return work_rate_in(span_at(cone, span_of(cone.end_k, cone.points, t)), t);
}

double end_point(const ConeKinetics& cone, double rate_k_per_h) {
    double t = 0;
    if (cone.points == 0)
        t = end_point_of(cone.below, cone.below.theta_k / (cone.below.ln_a + 2), rate_k_per_h);
    else if (rate_k_per_h <= cone.rate_k_per_h[0])
        t = end_point_of(cone.below, cone.end_k[0], rate_k_per_h);
    else if (rate_k_per_h >= cone.rate_k_per_h[cone.points - 1u])
        t = end_point_of(cone.above, cone.end_k[cone.points - 1u], rate_k_per_h);
    else
        t = end_point_in(span_at(cone, span_of(cone.rate_k_per_h, cone.points, rate_k_per_h)),
                         rate_k_per_h);
    return std::min(t - zero_celsius_k, hottest_c);
}

double temperature_of_work_rate(const ConeKinetics& cone, double work_per_h) {
    const double wanted = std::log(work_per_h);
    const auto by_law = [wanted](const Arrhenius& law) {
        const double x = law.ln_a - wanted;
        return x <= 0 ? hottest_c : std::min(law.theta_k / x - zero_celsius_k, hottest_c);
    };
    if (cone.points == 0 || work_per_h <= cone.work_rate[0])
        return by_law(cone.below);
    if (work_per_h >= cone.work_rate[cone.points - 1u])
        return by_law(cone.above);
    const Span span = span_at(cone, span_of(cone.work_rate, cone.points, work_per_h));
    const auto miss = [&](double t) { return std::log(work_rate_in(span, t)) - wanted; };
    const double end = span.t + span.h;
    return root_of_rising(miss, span.t, miss(span.t), end, miss(end), 1e-9) - zero_celsius_k;
}

bool is_extrapolated(const ConeKinetics& cone, double temperature_c) {
    return temperature_c < cone.coldest_end_c - 0.5 || temperature_c > cone.hottest_end_c + 0.5;
}

double onset_c(const ConeKinetics& cone) {
    return temperature_of_work_rate(cone, 0.01);
}

double idle_temperature_c(const ConeKinetics& cone) {
    return temperature_of_work_rate(cone, 1e-14);
}

ConeKinetics without_correction(const ConeKinetics& cone) {
    ConeKinetics plain = cone;
    plain.points = 0;
    plain.below = plain.above = cone.plain;
    plain.idle_c = idle_temperature_c(plain);
    return plain;
}

const ConeKinetics* ConeScale::find(double cone) const {
    const auto at =
        std::lower_bound(cones.begin(), cones.end(), cone,
                         [](const ConeKinetics& c, double wanted) { return c.cone < wanted; });
    return at != cones.end() && at->cone == cone ? &*at : nullptr;
}

Arrhenius law_through(double theta_k, double temperature_k, double rate_k_per_h) {
    return {std::log(rate_k_per_h) - log_temperature_integral(theta_k, temperature_k), theta_k};
}

} // namespace fettle
