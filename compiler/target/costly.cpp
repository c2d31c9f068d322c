#include "compiler/target/costly.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace fettle {

namespace {

constexpr double degrees_k = 10;
constexpr double share = 0.1;
constexpr double soak_s = 600;
constexpr double worth_telling = 0.1; // cones

class Trial {
  public:
    Trial(const std::vector<Leg>& legs, const HeatComparison& heat, Scale scale)
        : heat_(heat), stretches_(heat_of(legs, scale)), own_(stretches_.size()) {
        for (std::size_t i = 0; i < stretches_.size(); ++i) {
            own_[i] = work(heat.cone(), stretches_[i]);
            whole_ += own_[i];
        }
    }

    std::size_t size() const { return stretches_.size(); }
    const HeatStretch& operator[](std::size_t i) const { return stretches_[i]; }
    bool counts(std::size_t i) const { return own_[i] > 1e-4 * whole_; }

    // What it comes to, in cones, with stretch i like this.
    double with(std::size_t i, HeatStretch changed, std::size_t j = ~std::size_t{0},
                HeatStretch also = {}) const {
        double sum = whole_ - own_[i] + work(heat_.cone(), changed);
        if (j < stretches_.size()) {
            sum += work(heat_.cone(), also) - own_[j];
        }
        return heat_.cones_off(sum) - heat_.cones_off(whole_);
    }

  private:
    const HeatComparison& heat_;
    std::vector<HeatStretch> stretches_;
    std::vector<double> own_;
    double whole_ = 0;
};

} // namespace

std::optional<Costly> most_costly(const RowSet& set, const std::vector<Leg>& legs,
                                  const HeatComparison& heat, const Abilities& can) {
    if (!heat.known()) {
        return std::nullopt;
    }
    const Trial trial(legs, heat, can.scale);
    Costly worst;
    const auto consider = [&](std::size_t row, double cones, const auto& words) {
        if (std::fabs(cones) > std::fabs(worst.cones) + 1e-9) {
            worst = {static_cast<std::uint32_t>(row), cones, words()};
        }
    };
    const double shown_degrees = difference_to_scale(degrees_k, can.scale);
    for (std::size_t row = 0; row < set.rows.size(); ++row) {
        const auto [first, end] = set.legs[row];
        const std::size_t last = end - 1;
        if (!trial.counts(first) && !trial.counts(last) &&
            (end >= trial.size() || !trial.counts(end))) {
            continue;
        }
        for (const double sign : {1.0, -1.0}) {
            const char* const more = sign > 0 ? "more" : "less";
            // The target: a climb ends there, a soak in its row stays there, the next goes on.
            HeatStretch climb = trial[first], next = end < trial.size() ? trial[end] : climb;
            climb.to_c += sign * degrees_k;
            HeatStretch soak = trial[last];
            soak.from_c += sign * degrees_k;
            soak.to_c += sign * degrees_k;
            next.from_c += sign * degrees_k;
            const double by_target = first != last ? trial.with(first, climb, last, soak)
                                                   : trial.with(first, climb, end, next);
            consider(row, by_target, [&] {
                return fmt::format("{}{} {} here", print_number(shown_degrees, 0),
                                   can.scale == Scale::celsius ? "C" : "F", more);
            });
            const bool climbs = legs[first].kind == SegmentKind::ramp;
            if (climbs && legs[first].duration_s) {
                HeatStretch paced = trial[first];
                const bool keyed_time = can.form == StepForm::duration_target;
                paced.duration_s *= keyed_time ? 1 + sign * share : 1 / (1 + sign * share);
                consider(row, trial.with(first, paced), [&] {
                    return fmt::format("a tenth {} {} here", more, keyed_time ? "time" : "speed");
                });
            }
            if (legs[last].kind == SegmentKind::soak && trial[last].duration_s > soak_s) {
                HeatStretch longer = trial[last];
                longer.duration_s += sign * soak_s;
                consider(row, trial.with(last, longer),
                         [&] { return fmt::format("ten minutes {} here", more); });
            }
        }
    }
    if (std::fabs(worst.cones) < worth_telling) {
        return std::nullopt;
    }
    worst.why += fmt::format(
        " {} {} of a cone {}", worst.why.find("minutes") != std::string::npos ? "are" : "is",
        print_number(std::fabs(worst.cones), 1), worst.cones > 0 ? "too much" : "too little");
    return worst;
}

} // namespace fettle
