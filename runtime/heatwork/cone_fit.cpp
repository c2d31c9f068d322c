#include "runtime/heatwork/cone_fit.h"

#include "runtime/heatwork/temperature_integral.h"

#include <algorithm>
#include <cmath>
#include <optional>

namespace fettle {
namespace {

using Kind = ConeTableProblem::Kind;

constexpr double zero_celsius_k = 273.15;
constexpr double bell_width = 2.5; // in cones
constexpr double clearance = 1.25; // of k at the outer points from the mean of the span

// θ from the end points at two rates, roughly: I(T) ≈ T²/θ·exp(−θ/T).
double rough_theta(const ConeKinetics& cone) {
    const std::size_t last = cone.points - 1u;
    const double cold = cone.end_k[0], hot = cone.end_k[last];
    const double ratio = std::log(cone.rate_k_per_h[last] / cone.rate_k_per_h[0]);
    return std::max(1e3, ratio / (1 / cold - 1 / hot) - (cold + hot));
}

// Sums of the normal equations in ln A and θ.
struct Normal {
    double aa = 0, at = 0, tt = 0, ae = 0, te = 0;
};

// Misses are in kelvin: published end point less that of the law. `ends` holds the law's end
// points, which follow it by a step of Newton's method each time.
Normal normal_equations(const ConeKinetics& cone, const Arrhenius& law,
                        std::array<double, max_rates>& ends) {
    Normal sum;
    for (std::size_t i = 0; i < cone.points; ++i) {
        const double x = law.theta_k / ends[i];
        const double e2 = scaled_e2(x);
        const double kelvin_per_fold = ends[i] * e2; // I/exp(−θ/T)
        const double log_miss =
            law.ln_a - x + std::log(kelvin_per_fold) - std::log(cone.rate_k_per_h[i]);
        ends[i] = 1 / (1 / ends[i] + log_miss * e2 / ends[i]);
        const double miss = cone.end_k[i] - ends[i];
        const double by_ln_a = kelvin_per_fold;
        const double by_theta = -(1 - e2) / x; // d ln I/dθ = −E1/(T·E2)
        sum.aa += by_ln_a * by_ln_a;
        sum.at += by_ln_a * by_theta;
        sum.tt += by_theta * by_theta;
        sum.ae += by_ln_a * miss;
        sum.te += by_theta * miss;
    }
    return sum;
}

Arrhenius fit_two_parameters(const ConeKinetics& cone) {
    Arrhenius law = law_through(rough_theta(cone), cone.end_k[0], cone.rate_k_per_h[0]);
    std::array<double, max_rates> ends = cone.end_k;
    for (int i = 0; i < 60; ++i) {
        const Normal n = normal_equations(cone, law, ends);
        const double determinant = n.aa * n.tt - n.at * n.at;
        const double d_theta = (n.aa * n.te - n.at * n.ae) / determinant;
        const double d_ln_a = (n.tt * n.ae - n.at * n.te) / determinant;
        const double shrink = std::min(1.0, 0.5 * law.theta_k / std::abs(d_theta));
        law.theta_k -= shrink * d_theta;
        law.ln_a -= shrink * d_ln_a;
        if (std::abs(d_theta) < 1e-9 * law.theta_k)
            break;
    }
    return law;
}

// --- from rows to cones with points -------------------------------------------------------------

std::vector<ConeKinetics> gather(const ConeTable& table) {
    std::vector<ConeRow> rows = table.rows;
    std::stable_sort(rows.begin(), rows.end(), [](const ConeRow& a, const ConeRow& b) {
        return a.cone != b.cone ? a.cone < b.cone : a.end_c < b.end_c;
    });
    std::vector<ConeKinetics> cones;
    for (const ConeRow& row : rows) {
        if (cones.empty() || cones.back().cone != row.cone) {
            cones.emplace_back();
            cones.back().cone = row.cone;
            cones.back().kind = row.kind;
            cones.back().coldest_end_c = row.end_c;
        }
        ConeKinetics& cone = cones.back();
        cone.hottest_end_c = row.end_c;
        cone.end_k[cone.points] = row.end_c + zero_celsius_k;
        cone.rate_k_per_h[cone.points] = row.rate_k_per_h.value_or(assumed_rate_k_per_h);
        cone.from_memory |= row.from_memory;
        cone.rate_assumed |= !row.rate_k_per_h;
        ++cone.points;
    }
    return cones;
}

// --- slopes of the neighbourhood ----------------------------------------------------------------

// θ around the i-th cone; nothing where no cone of the table has a slope.
std::optional<double> neighbourhood_theta(const std::vector<ConeKinetics>& cones, std::size_t i) {
    const auto has_slope = [](const ConeKinetics& cone) { return cone.points > 1; };
    const auto first = std::find_if(cones.begin(), cones.end(), has_slope);
    if (first == cones.end())
        return std::nullopt;
    const auto last = std::find_if(cones.rbegin(), cones.rend(), has_slope).base() - 1;
    const double centre =
        std::clamp(static_cast<double>(i), static_cast<double>(first - cones.begin()),
                   static_cast<double>(last - cones.begin()));
    double sum = 0, weights = 0;
    for (std::size_t j = 0; j < cones.size(); ++j) {
        if (!has_slope(cones[j]))
            continue;
        const double far = (static_cast<double>(j) - centre) / bell_width;
        const double rates = cones[j].points - 1.0;
        const double weight = rates * rates * std::exp(-0.5 * far * far);
        sum += weight * std::log(cones[j].plain.theta_k);
        weights += weight;
    }
    return std::exp(sum / weights);
}

// The cone of another scale nearest to this one.
double borrowed_theta(const ConeScale* slopes, double cone) {
    constexpr double theta_of_nothing_known = 95000; // middle of the large cones
    if (!slopes || slopes->cones.empty())
        return theta_of_nothing_known;
    const auto nearer = [cone](const ConeKinetics& a, const ConeKinetics& b) {
        return std::abs(a.cone - cone) < std::abs(b.cone - cone);
    };
    return std::min_element(slopes->cones.begin(), slopes->cones.end(), nearer)->below.theta_k;
}

// --- the correction -----------------------------------------------------------------------------

// The law through a point that has this k there: k/R is fixed by θ alone, and rises with it.
Arrhenius with_work_rate(double theta_k, double t, double rate, double k) {
    for (int i = 0; i < 60; ++i) {
        const double x = theta_k / t;
        const double steepness = 1 / (t * scaled_e2(x));
        const double next = theta_k * (k / rate) / steepness;
        const bool still = std::abs(next - theta_k) < 1e-13 * theta_k;
        theta_k = next;
        if (still)
            break;
    }
    return law_through(theta_k, t, rate);
}

double mean_of_span(const ConeKinetics& cone, std::size_t i) {
    return (cone.rate_k_per_h[i + 1] - cone.rate_k_per_h[i]) / (cone.end_k[i + 1] - cone.end_k[i]);
}

bool is_convex(const ConeKinetics& cone) {
    for (std::size_t i = 0; i + 2 < cone.points; ++i)
        if (mean_of_span(cone, i + 1) <= mean_of_span(cone, i))
            return false;
    return true;
}

double inner_work_rate(const ConeKinetics& cone, std::size_t i) {
    const double before = cone.end_k[i] - cone.end_k[i - 1];
    const double after = cone.end_k[i + 1] - cone.end_k[i];
    const double logs =
        std::log(mean_of_span(cone, i - 1)) * after + std::log(mean_of_span(cone, i)) * before;
    return std::exp(logs / (before + after));
}

void correct(ConeKinetics& cone, double theta_k) {
    const std::size_t last = cone.points - 1u;
    const auto law_at = [&](std::size_t i) {
        return law_through(theta_k, cone.end_k[i], cone.rate_k_per_h[i]);
    };
    const auto k_at = [&](const Arrhenius& law, std::size_t i) {
        return std::exp(law.ln_a - law.theta_k / cone.end_k[i]);
    };
    cone.below = law_at(0);
    cone.above = law_at(last);
    cone.work_rate[0] = k_at(cone.below, 0);
    cone.work_rate[last] = k_at(cone.above, last);
    if (last == 0)
        return;
    const double most = mean_of_span(cone, 0) / clearance;
    if (cone.work_rate[0] > most) {
        cone.work_rate[0] = most;
        cone.below = with_work_rate(theta_k, cone.end_k[0], cone.rate_k_per_h[0], most);
    }
    const double least = mean_of_span(cone, last - 1) * clearance;
    if (cone.work_rate[last] < least) {
        cone.work_rate[last] = least;
        cone.above = with_work_rate(theta_k, cone.end_k[last], cone.rate_k_per_h[last], least);
    }
    for (std::size_t i = 1; i < last; ++i)
        cone.work_rate[i] = inner_work_rate(cone, i);
}

} // namespace

ConeFit fit_cones(const ConeTable& table, const ConeScale* slopes) {
    ConeFit fit;
    for (const ConeTableProblem& problem : check_cone_table(table))
        if (spoils_the_table(problem.kind))
            fit.problems.push_back(problem);
    if (!fit.problems.empty())
        return fit;

    std::vector<ConeKinetics>& cones = fit.scale.cones;
    cones = gather(table);
    for (ConeKinetics& cone : cones)
        if (cone.points > 1)
            cone.plain = fit_two_parameters(cone);
    for (std::size_t i = 0; i < cones.size(); ++i) {
        ConeKinetics& cone = cones[i];
        const auto around = neighbourhood_theta(cones, i);
        const double theta = around ? *around : borrowed_theta(slopes, cone.cone);
        cone.slope = cone.points > 1 ? Slope::published : Slope::neighbours;
        if (is_convex(cone)) {
            correct(cone, theta);
            cone.idle_c = idle_temperature_c(cone);
            if (cone.points == 1)
                cone.plain = cone.below;
        } else {
            fit.problems.push_back({Kind::uneven, cone.cone});
            cone = without_correction(cone);
        }
    }
    return fit;
}

std::vector<ConeResidual> cone_residuals(const ConeScale& scale, const ConeTable& table) {
    std::vector<ConeResidual> list;
    for (const ConeRow& row : table.rows) {
        const ConeKinetics* cone = scale.find(row.cone);
        if (!cone || !row.rate_k_per_h)
            continue;
        const double rate = *row.rate_k_per_h;
        list.push_back({row.cone, rate, row.end_c,
                        end_point(without_correction(*cone), rate) - row.end_c,
                        end_point(*cone, rate) - row.end_c});
    }
    return list;
}

} // namespace fettle
