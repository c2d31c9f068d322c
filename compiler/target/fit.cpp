#include "compiler/target/fit.h"

#include "compiler/target/heat_aim.h"

#include <algorithm>
#include <cmath>

namespace fettle {

namespace {

constexpr double straight_k = 1e-6;
constexpr double at_peak_k = 1e-6;
constexpr int most_tries = 200;

bool may_be_drawn_over(const Stretch& stretch) {
    return (stretch.kind == SegmentKind::ramp || stretch.kind == SegmentKind::soak) &&
           !stretch.waiting_k;
}

double time_of(const Stretch& stretch) {
    return stretch.duration_s.value_or(stretch.estimated_s.value_or(1));
}

PieceCosts costs_of(const Abilities& can) {
    PieceCosts costs;
    costs.soaks_are_free = can.form == StepForm::rate_target_soak;
    if (can.longest_step_s) {
        costs.longest_s =
            std::floor(*can.longest_step_s / can.time_step_s + 1e-9) * can.time_step_s;
    }
    const auto per_s = [&](double rate) { return difference_from_scale(rate, can.scale) / 3600; };
    const bool keys_rates = can.form != StepForm::duration_target;
    const double slowest = std::max(can.slowest_rate.value_or(0), keys_rates ? can.rate_step : 0);
    costs.slowest_k_per_s = per_s(slowest);
    if (can.longest_step_s) { // or it could not be cut
        costs.slowest_k_per_s =
            std::max(costs.slowest_k_per_s,
                     difference_from_scale(2 * can.temperature_step, can.scale) / costs.longest_s);
    }
    if (can.fastest_rate) {
        costs.fastest_k_per_s = per_s(*can.fastest_rate);
    }
    costs.least_k = difference_from_scale(can.temperature_step, can.scale);
    return costs;
}

} // namespace

Fit::Fit(const Schedule& schedule, const std::vector<Stretch>& stretches, const Abilities& can,
         const HeatAim& aim, std::uint32_t max_rows)
    : original_(stretches), can_(can), aim_(aim), max_rows_(max_rows), costs_(costs_of(can)) {
    double peak_c = schedule.start_c;
    for (const Stretch& stretch : stretches) {
        peak_c = std::max(peak_c, stretch.to_c);
    }
    corners_.reserve(stretches.size() + 1);
    double at_s = 0;
    for (std::size_t i = 0; i < stretches.size(); ++i) {
        const Stretch& stretch = stretches[i];
        const bool stays = i == 0 || !may_be_drawn_over(stretch) ||
                           !may_be_drawn_over(stretches[i - 1]) ||
                           stretch.from_c > peak_c - at_peak_k;
        corners_.push_back({at_s, stretch.from_c, stays});
        at_s += time_of(stretch);
    }
    corners_.push_back({at_s, stretches.back().to_c, true});
}

bool Fit::straight_only() {
    const auto simplified = simplify(corners_, costs_, max_rows_, straight_k);
    if (simplified) {
        found_ = stretches_of(simplified->kept);
    }
    return simplified.has_value();
}

bool Fit::within(double most_k, const Faults& faults) {
    const PieceCosts before = costs_;
    hindrance_ = "too much of it has to stay as it is";
    for (int tries = 0; tries < most_tries; ++tries) {
        const auto simplified = simplify(corners_, costs_, max_rows_, most_k);
        if (!simplified) {
            break;
        }
        std::vector<Stretch> stretches = stretches_of(simplified->kept);
        const std::vector<Leg> legs = legs_of(stretches, can_, aim_);
        std::vector<std::size_t> pieces;
        if (const auto piece = piece_off_heat_work(simplified->kept, most_k)) {
            pieces.push_back(*piece);
            hindrance_ = "the heat work would change too much";
        } else {
            for (const std::uint32_t leg : faults(legs)) {
                const auto of =
                    std::find_if(stretches.begin(), stretches.end(), [&](const Stretch& stretch) {
                        return stretch.first == legs[leg].first;
                    });
                pieces.push_back(static_cast<std::size_t>(of - stretches.begin()));
            }
            if (pieces.empty()) {
                found_ = std::move(stretches);
                costs_ = before;
                return true;
            }
            hindrance_ = "a rule would break";
        }
        const std::size_t ruled_out = costs_.forbidden.size();
        for (const std::size_t piece : pieces) {
            forbid(simplified->kept, piece);
        }
        if (costs_.forbidden.size() == ruled_out) {
            break; // what breaks the rule was in the firing already
        }
    }
    costs_ = before;
    return false;
}

std::uint32_t Fit::rows_needed() const {
    const auto all = simplify(corners_, costs_, ~std::uint32_t{0} / 4, straight_k);
    return all ? all->rows : 0;
}

std::uint32_t Fit::fewest_rows() const {
    return fettle::fewest_rows(corners_, costs_);
}

std::optional<double> Fit::smallest_deviation_k() const {
    constexpr double anything_k = 1e4;
    const auto found = simplify(corners_, costs_, max_rows_, anything_k);
    return found ? std::optional(found->deviation_k) : std::nullopt;
}

std::vector<Stretch> Fit::stretches_of(const std::vector<std::uint32_t>& kept) const {
    std::vector<Stretch> stretches;
    for (std::size_t i = 0; i + 1 < kept.size(); ++i) {
        Stretch stretch = original_[kept[i]];
        if (kept[i + 1] != kept[i] + 1) {
            const Corner& a = corners_[kept[i]];
            const Corner& b = corners_[kept[i + 1]];
            stretch.to_c = b.temperature_c;
            stretch.duration_s = b.time_s - a.time_s;
            stretch.last = original_[kept[i + 1] - 1].last;
            const bool level = std::fabs(b.temperature_c - a.temperature_c) < at_peak_k;
            stretch.kind = level ? SegmentKind::soak : SegmentKind::ramp;
        }
        stretches.push_back(stretch);
    }
    return stretches;
}

void Fit::forbid(const std::vector<std::uint32_t>& kept, std::size_t piece) {
    const std::pair pair{kept[piece], kept[piece + 1]};
    if (pair.second == pair.first + 1) {
        return; // a segment of the firing itself
    }
    const auto place = std::lower_bound(costs_.forbidden.begin(), costs_.forbidden.end(), pair);
    if (place == costs_.forbidden.end() || *place != pair) {
        costs_.forbidden.insert(place, pair);
    }
}

// The piece that changes the heat work most, where all of them change it too much.
std::optional<std::size_t> Fit::piece_off_heat_work(const std::vector<std::uint32_t>& kept,
                                                    double most_k) const {
    const std::vector<HeatStretch> before = heat_of(original_);
    const HeatComparison heat(aim_.scale, aim_.reading, before);
    if (!heat.known()) {
        return std::nullopt;
    }
    const std::vector<HeatStretch> after = heat_of(stretches_of(kept));
    double peak_c = -300;
    for (const HeatStretch& stretch : before) {
        peak_c = std::max(peak_c, stretch.to_c);
    }
    const double whole = work(heat.cone(), after);
    if (std::fabs(heat.degrees_off(whole, peak_c)) <= most_k) {
        return std::nullopt;
    }
    std::size_t worst = 0;
    double most = -1;
    for (std::size_t i = 0; i + 1 < kept.size(); ++i) {
        const std::span<const HeatStretch> drawn_over =
            std::span(before).subspan(kept[i], kept[i + 1] - kept[i]);
        const double change =
            std::fabs(work(heat.cone(), after[i]) - work(heat.cone(), drawn_over));
        if (change > most) {
            most = change;
            worst = i;
        }
    }
    return worst;
}

} // namespace fettle
