#include "compiler/target/make_steps.h"

#include "compiler/target/costly.h"
#include "compiler/target/deviation.h"
#include "compiler/target/fit.h"
#include "compiler/target/heat_aim.h"
#include "compiler/target/refuse.h"
#include "compiler/target/rows.h"
#include "compiler/target/split.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace fettle {

namespace {

class Making {
  public:
    Making(const Schedule& schedule, const Abilities& can, const StepsOptions& options,
           KeptTexts& kept)
        : schedule_(schedule), can_(can), options_(options), kept_(kept) {
        if (can.max_steps) {
            max_rows_ = static_cast<std::uint32_t>(std::min(*can.max_steps, 1e9));
        }
        starts_s_.reserve(schedule.segments.size() + 1);
        std::optional<double> at_s = 0;
        for (const Segment& segment : schedule.segments) {
            starts_s_.push_back(at_s);
            const auto own = segment.duration_s ? segment.duration_s : segment.estimated_duration_s;
            at_s = at_s && own ? std::optional(*at_s + *own) : std::nullopt;
        }
        starts_s_.push_back(at_s);
    }

    StepsResult make() {
        result_.refusals = refusals_of(schedule_, can_, options_);
        const std::vector<Stretch> whole = stretches_of_segments(schedule_);
        if (whole.empty() && result_.refusals.empty()) {
            refuse(DiagnosticKind::nothing_to_key,
                   fmt::format("{} is all cooling by itself, so no table is made for the "
                               "controller {}",
                               options_.firing, options_.controller),
                   "give the fall a rate, if the controller is to hold it back");
        }
        if (!result_.refusals.empty()) {
            return std::move(result_);
        }
        steps_ = empty_steps();
        const std::vector<Part> parts = parts_between_falls(whole, can_);
        for (const Part& part : parts) {
            if (!add(part, parts.size() == 1)) {
                return std::move(result_);
            }
        }
        return finish(whole);
    }

  private:
    void refuse(DiagnosticKind kind, std::string message, std::string mend,
                std::string_view field = {}) {
        result_.refusals.push_back(
            {kind, StepsRefusal::whole_firing, std::move(message), std::move(mend), field});
    }

    Steps empty_steps() const {
        Steps steps;
        steps.form = can_.form;
        steps.scale = can_.scale;
        steps.time_step_s = can_.time_step_s;
        steps.temperature_step = can_.temperature_step;
        steps.rate_step = can_.rate_step;
        if (can_.max_steps) {
            steps.max_steps = max_rows_;
        }
        if (schedule_.delay_s > 0) {
            steps.delay_s =
                std::max(1.0, std::round(schedule_.delay_s / can_.time_step_s)) * can_.time_step_s;
            if (steps.delay_s > can_.longest_delay_s.value_or(1e18)) {
                steps.delay_s -= can_.time_step_s;
            }
        }
        return steps;
    }

    // The heat work is told by the part with the peak alone.
    HeatAim aim_of(const Part& part) const {
        HeatAim aim = options_.aim;
        const auto hotter = [](const Segment& a, const Segment& b) { return a.to_c < b.to_c; };
        const auto peak =
            std::max_element(schedule_.segments.begin(), schedule_.segments.end(), hotter);
        const auto index = static_cast<std::uint32_t>(peak - schedule_.segments.begin());
        if (index < part.stretches.front().first || index > part.stretches.back().last) {
            aim.scale = nullptr;
        }
        return aim;
    }

    RowSet rows(const std::vector<Leg>& legs) const {
        return rows_of(legs, schedule_, can_, starts_s_[legs.front().first]);
    }

    bool add(const Part& part, bool alone) {
        const HeatAim aim = aim_of(part);
        std::vector<Leg> legs = legs_of(part.stretches, can_, aim);
        RowSet set = rows(legs);
        if (set.rows.size() > max_rows_ && !shorten(part, aim, alone, legs, set)) {
            return false;
        }
        const std::vector<std::size_t> ends = program_ends(set.rows, max_rows_);
        if (ends.empty()) {
            refuse(DiagnosticKind::too_many_steps,
                   fmt::format("the top of the firing does not fit into {} steps, and a program "
                               "can't end there",
                               max_rows_),
                   "allow less: `simplify within 5C`", "max_steps");
            return false;
        }
        add_programs(part, legs, set, ends);
        return true;
    }

    // Fewer rows, by drawing what is straight as one, then within what is allowed; or it is left
    // to be split.
    bool shorten(const Part& part, const HeatAim& aim, bool alone, std::vector<Leg>& legs,
                 RowSet& set) {
        Fit fit(schedule_, part.stretches, can_, aim, max_rows_);
        const bool exact = fit.straight_only();
        if (!exact && options_.simplify_within_k && alone) {
            fit.within(*options_.simplify_within_k,
                       [&](const std::vector<Leg>& tried) { return faults(part, tried); });
        }
        if (fit.stretches().empty() && options_.split) {
            return true;
        }
        if (fit.stretches().empty()) {
            say_too_many(fit);
            return false;
        }
        legs = legs_of(fit.stretches(), can_, aim);
        set = rows(legs);
        steps_.simplified = true;
        return true;
    }

    // Legs of a simplified table that break a rule.
    std::vector<std::uint32_t> faults(const Part& part, const std::vector<Leg>& tried) {
        if (!options_.rows_that_break_a_rule) {
            return {};
        }
        Steps trial = empty_steps();
        const RowSet set = rows(tried);
        trial.programs.push_back({options_.firing, part.stretches.front().from_c, set.rows});
        std::vector<std::uint32_t> at_fault;
        for (const std::uint32_t row : options_.rows_that_break_a_rule(trial)) {
            for (std::uint32_t leg = set.legs[row].first; leg < set.legs[row].second; ++leg) {
                at_fault.push_back(leg);
            }
        }
        return at_fault;
    }

    // "5C": after "within" it can only be a difference.
    std::string within(double kelvin) const {
        return print_number(difference_to_scale(kelvin, can_.scale), 1) +
               (can_.scale == Scale::celsius ? "C" : "F");
    }

    void say_too_many(const Fit& fit) {
        const std::uint32_t needed = fit.rows_needed();
        const std::uint32_t too_many = needed - std::min(needed, max_rows_);
        const std::string message =
            fmt::format("{} takes {} steps, {} too many for the controller {}, which keeps {}",
                        options_.firing, needed, too_many, options_.controller, max_rows_);
        const std::string split = "build with `--split` into programs that continue one another";
        const auto smallest = fit.smallest_deviation_k();
        if (!smallest) {
            refuse(DiagnosticKind::too_many_steps, message,
                   fmt::format("{}; even drawn as straight as it can be, it takes {} steps", split,
                               fit.fewest_rows()),
                   "max_steps");
            return;
        }
        const double shown_k = std::ceil(*smallest * 10 - 1e-6) / 10;
        const std::string fits = within(shown_k);
        if (!options_.simplify_within_k) {
            refuse(DiagnosticKind::too_many_steps, message,
                   fmt::format("`simplify within {}` in the firing would make it fit; or {}", fits,
                               split),
                   "max_steps");
        } else if (shown_k > *options_.simplify_within_k) {
            refuse(DiagnosticKind::too_many_steps,
                   fmt::format("{}; within {} it does not get that short", message,
                               within(*options_.simplify_within_k)),
                   fmt::format("the smallest deviation that fits is {}: `simplify within {}`; or "
                               "{}",
                               fits, fits, split),
                   "max_steps");
        } else {
            refuse(DiagnosticKind::too_many_steps,
                   fmt::format("{}; whatever is left out, {}", message, fit.hindrance()), split,
                   "max_steps");
        }
    }

    void add_programs(const Part& part, const std::vector<Leg>& legs, RowSet& set,
                      const std::vector<std::size_t>& ends) {
        const std::vector<Deviation> off = deviations(legs, schedule_, can_.scale);
        for (const Deviation& each : off) {
            if (each.degrees_k > largest_k_) {
                largest_k_ = each.degrees_k;
                steps_.deviation_s = starts_s_[*each.segment + 1];
            }
        }
        if (part.before) { // people wait, then start this one
            steps_.programs.back().between = kept_.keep(std::string(part.before->words));
        }
        const auto first_program = static_cast<std::uint32_t>(steps_.programs.size());
        const HeatComparison heat(aim_of(part).scale, options_.aim.reading,
                                  heat_of(part.stretches));
        const auto costly = most_costly(set, legs, heat, can_);
        std::size_t begin = 0;
        for (const std::size_t end : ends) {
            StepProgram& program = steps_.programs.emplace_back();
            program.start_c = set.rows[begin].from_c;
            for (std::uint32_t leg = set.legs[begin].first; leg < set.legs[end - 1].second; ++leg) {
                program.deviation_c = std::max(program.deviation_c, off[leg].degrees_k);
            }
            for (std::size_t row = begin; row < end; ++row) {
                if (costly && costly->row == row) {
                    const auto index = static_cast<std::uint32_t>(steps_.programs.size() - 1);
                    steps_.most_costly = {index, static_cast<std::uint32_t>(row - begin),
                                          kept_.keep(costly->why)};
                }
                program.rows.push_back(std::move(set.rows[row]));
                program.rows.back().step = static_cast<std::uint32_t>(row - begin + 1);
            }
            begin = end;
        }
        for (std::size_t i = first_program; i + 1 < steps_.programs.size(); ++i) {
            steps_.programs[i].between = kept_.keep(
                fmt::format("Be at the kiln when it ends, at {}, and start the next one at once",
                            print_temperature(steps_.programs[i + 1].start_c, can_.scale, 0)));
        }
    }

    StepsResult finish(const std::vector<Stretch>& whole) {
        const std::size_t count = steps_.programs.size();
        if (count > 1 && can_.programs && static_cast<double>(count) > *can_.programs) {
            refuse(DiagnosticKind::too_many_steps,
                   fmt::format("{} takes {} programs, but the controller {} keeps {}",
                               options_.firing, count, options_.controller, *can_.programs),
                   "allow less: `simplify within 5C`", "programs");
            return std::move(result_);
        }
        name_programs();
        add_cones_off(whole);
        result_.steps = std::move(steps_);
        return std::move(result_);
    }

    void name_programs() {
        std::vector<StepProgram>& programs = steps_.programs;
        for (std::size_t i = 0; i < programs.size(); ++i) {
            programs[i].name = programs.size() == 1
                                   ? options_.firing
                                   : kept_.keep(fmt::format("{}-{}", options_.firing, i + 1));
        }
        for (std::size_t i = 0; i + 1 < programs.size(); ++i) {
            programs[i].then = programs[i + 1].name;
        }
    }

    void add_cones_off(const std::vector<Stretch>& whole) {
        const HeatComparison heat(options_.aim.scale, options_.aim.reading, heat_of(whole));
        if (!heat.known()) {
            return;
        }
        std::vector<HeatStretch> keyed;
        for (const StepProgram& program : steps_.programs) {
            for (const StepRow& row : program.rows) {
                add_row(row, keyed);
            }
        }
        steps_.cones_off = std::round(heat.cones_off(work(heat.cone(), keyed)) * 1000) / 1000 + 0.0;
    }

    void add_row(const StepRow& row, std::vector<HeatStretch>& keyed) const {
        const bool soak = row.kind == SegmentKind::soak;
        double soak_s = row.soak_min.value_or(0) * 60, ramp_s = 0;
        if (row.duration_min && row.kind != SegmentKind::free) {
            (soak ? soak_s : ramp_s) = *row.duration_min * 60;
        } else if (row.rate_per_h && !soak && row.kind != SegmentKind::free) {
            const double rate_k = difference_from_scale(*row.rate_per_h, can_.scale);
            ramp_s = std::fabs(row.to_c - row.from_c) / rate_k * 3600;
        } else if (row.starts_s && row.ends_s) {
            ramp_s = *row.ends_s - *row.starts_s - soak_s;
        }
        if (!soak) {
            keyed.push_back({row.from_c, row.to_c, ramp_s});
        }
        if (soak_s > 0) {
            keyed.push_back({row.to_c, row.to_c, soak_s});
        }
    }

    const Schedule& schedule_;
    const Abilities& can_;
    const StepsOptions& options_;
    KeptTexts& kept_;
    std::uint32_t max_rows_ = 1'000'000'000;
    std::vector<std::optional<double>> starts_s_; // of each segment; one more: the end
    double largest_k_ = 0;
    Steps steps_;
    StepsResult result_;
};

} // namespace

StepsResult make_steps(const Schedule& schedule, const Abilities& can, const StepsOptions& options,
                       KeptTexts& kept) {
    return Making(schedule, can, options, kept).make();
}

} // namespace fettle
