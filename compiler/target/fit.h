// A firing into the steps that there are: first what is straight anyway becomes one step, then the
// curve is simplified within what is allowed.
//
// What stays as it is: the peak and the soaks there, steps that wait, and steps that take the
// kiln's own time. The heat work may change by no more than a peak that is off by as much as is
// allowed; and no rule may break that was kept. A piece that leads to either is ruled out, and the
// search is done again: for rules about the rate of a piece that is the optimum that keeps them,
// for others it may be one of several.
#pragma once

#include "compiler/target/simplify.h"
#include "compiler/target/stretches.h"

#include <functional>
#include <string_view>

namespace fettle {

class Fit {
  public:
    Fit(const Schedule& schedule, const std::vector<Stretch>& stretches, const Abilities& can,
        const HeatAim& aim, std::uint32_t max_rows);

    // Whether it fits without any deviation.
    bool straight_only();
    // Legs (from 0) that break a rule.
    using Faults = std::function<std::vector<std::uint32_t>(const std::vector<Leg>&)>;
    bool within(double most_k, const Faults& faults);

    const std::vector<Stretch>& stretches() const { return found_; } // empty: it does not fit
    std::uint32_t rows_needed() const;                               // without any deviation
    std::uint32_t fewest_rows() const;                               // with any
    std::optional<double> smallest_deviation_k() const;              // nothing: none fits
    std::string_view hindrance() const { return hindrance_; } // what kept `within` from an answer

  private:
    std::vector<Stretch> stretches_of(const std::vector<std::uint32_t>& kept) const;
    void forbid(const std::vector<std::uint32_t>& kept, std::size_t piece);
    std::optional<std::size_t> piece_off_heat_work(const std::vector<std::uint32_t>& kept,
                                                   double most_k) const;

    const std::vector<Stretch>& original_;
    const Abilities& can_;
    const HeatAim& aim_;
    std::uint32_t max_rows_;
    std::vector<Corner> corners_; // corner i: where stretch i begins; one more: the end
    PieceCosts costs_;
    std::vector<Stretch> found_;
    std::string_view hindrance_;
};

} // namespace fettle
