#include "compiler/target/refuse.h"

#include "compiler/target/rows.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace fettle {

namespace {

constexpr double slack = 1e-9; // relative

class Refusing {
  public:
    Refusing(const Schedule& schedule, const Abilities& can, const StepsOptions& options)
        : schedule_(schedule), can_(can), options_(options) {}

    std::vector<StepsRefusal> all() {
        delay();
        const std::size_t count = segments_to_fire(schedule_);
        for (std::uint32_t i = 0; i < count; ++i) {
            const Segment& segment = schedule_.segments[i];
            switch (segment.kind) {
            case SegmentKind::ramp: ramp(i, segment); break;
            case SegmentKind::soak: waiting(i, segment); break;
            case SegmentKind::full: full(i, segment); break;
            case SegmentKind::free: free(i, segment); break;
            case SegmentKind::opened: opened(i, segment); break;
            }
        }
        for (StepsRefusal& refusal : refusals_) {
            if (const std::size_t others =
                    others_[static_cast<std::size_t>(&refusal - refusals_.data())];
                others > 0) {
                refusal.message +=
                    fmt::format(" (and so {} other segment{})", others, others == 1 ? "" : "s");
            }
        }
        return std::move(refusals_);
    }

  private:
    std::string name() const { return std::string(options_.controller); }
    std::string rate(double per_h) const {
        return fmt::format("{}{}/h", print_number(per_h, 1),
                           can_.scale == Scale::celsius ? "C" : "F");
    }
    std::string temperature(double c) const { return print_temperature(c, can_.scale, 1); }

    void refuse(DiagnosticKind kind, std::uint32_t segment, std::string_view field,
                std::string message, std::string mend) {
        for (std::size_t i = 0; i < refusals_.size(); ++i) {
            if (refusals_[i].kind == kind && refusals_[i].field == field) {
                ++others_[i];
                return;
            }
        }
        refusals_.push_back({kind, segment, std::move(message), std::move(mend), field});
        others_.push_back(0);
    }

    // What is needed, and the profile does not say.
    void ask(std::uint32_t segment, std::string_view field, std::string_view question) {
        refuse(DiagnosticKind::missing_field, segment, field,
               fmt::format("the controller {} does not say `{}`: {}", name(), field, question),
               fmt::format("look it up in the booklet, and write `{0} yes` or `{0} no` in its "
                           "profile",
                           field));
    }

    void delay() {
        if (schedule_.delay_s <= 0) {
            return;
        }
        if (!can_.longest_delay_s) {
            refuse(DiagnosticKind::missing_field, StepsRefusal::whole_firing, "start_delay",
                   fmt::format("the controller {} does not say `start_delay`: the firing starts "
                               "after {}",
                               name(), print_duration(schedule_.delay_s)),
                   "write the longest delay in its profile: `start_delay up to 24h`, or `up to 0h` "
                   "if it has none");
        } else if (schedule_.delay_s > *can_.longest_delay_s * (1 + slack)) {
            refuse(DiagnosticKind::delay_too_long, StepsRefusal::whole_firing, "start_delay",
                   fmt::format("the firing starts after {}, but the controller {} waits {} at most",
                               print_duration(schedule_.delay_s), name(),
                               print_duration(*can_.longest_delay_s)),
                   *can_.longest_delay_s > 0
                       ? fmt::format("write `start after {}` or less, and start it later",
                                     print_duration(*can_.longest_delay_s))
                       : "take `start after` out, and start it by hand or by a timer");
        }
    }

    void ramp(std::uint32_t i, const Segment& segment) {
        waiting(i, segment);
        if (segment.to_c < segment.from_c && !can_fall(i)) {
            return;
        }
        const double asked = difference_to_scale(std::fabs(*segment.rate_k_per_h()), can_.scale);
        if (can_.fastest_rate && asked > *can_.fastest_rate * (1 + slack)) {
            refuse(DiagnosticKind::rate_out_of_range, i, "rates",
                   fmt::format("{} is faster than the controller {} goes, which is {}", rate(asked),
                               name(), rate(*can_.fastest_rate)),
                   fmt::format("write `at {}` or less", rate(*can_.fastest_rate)));
        }
        const double keyed =
            can_.form == StepForm::duration_target ? asked : keyed_rate(asked, can_);
        const double slowest =
            std::max(can_.slowest_rate.value_or(0),
                     can_.form == StepForm::duration_target ? 0 : can_.rate_step);
        if (keyed < slowest * (1 - slack)) {
            refuse(DiagnosticKind::rate_out_of_range, i, can_.slowest_rate ? "rates" : "rate_step",
                   fmt::format("{} is slower than the controller {} goes, which is {}", rate(asked),
                               name(), rate(slowest)),
                   fmt::format("write `at {}`, or soak on the way", rate(slowest)));
        } else if (can_.longest_step_s && is_too_slow_to_cut(segment, keyed)) {
            const double least = can_.temperature_step / *can_.longest_step_s * 3600;
            refuse(DiagnosticKind::rate_out_of_range, i, "longest_step",
                   fmt::format("{} is too slow for the controller {}: its longest step is over "
                               "before the least difference that it can be keyed",
                               rate(asked), name()),
                   fmt::format("write `at {}` or more, or soak on the way",
                               rate(std::ceil(least * 10) / 10)));
        }
    }

    // Longer than a step may be, and even one step of temperature would be.
    bool is_too_slow_to_cut(const Segment& segment, double keyed) const {
        const double rise =
            difference_to_scale(std::fabs(segment.to_c - segment.from_c), can_.scale);
        const auto takes_s = [&](double degrees) {
            return degrees / keyed * 3600 +
                   (can_.form == StepForm::duration_target ? can_.time_step_s : 0);
        };
        return takes_s(rise + can_.temperature_step) > *can_.longest_step_s &&
               takes_s(can_.temperature_step * 1.5) > *can_.longest_step_s;
    }

    bool can_fall(std::uint32_t i) {
        if (can_.cooling == Can::yes) {
            return true;
        }
        if (can_.cooling == Can::unknown) {
            ask(i, "cooling", "has it steps that cool at a rate?");
        } else {
            refuse(DiagnosticKind::no_cooling_steps, i, "cooling",
                   fmt::format("the controller {} has no steps that cool at a rate", name()),
                   "write `cool to … freely` as the end of the firing, or fire it in a kiln whose "
                   "controller can");
        }
        return false;
    }

    void waiting(std::uint32_t i, const Segment& segment) {
        if (segment.waiting_within_k && can_.waits == Can::unknown) {
            ask(i, "waits", "can it hold its clock until the kiln has caught up?");
        }
    }

    void full(std::uint32_t i, const Segment& segment) {
        if (can_.full_rate == Can::unknown) {
            ask(i, "full_rate", "has it a step that climbs as fast as the kiln can?");
        } else if (can_.full_rate == Can::no) {
            refuse(
                DiagnosticKind::no_full_rate, i, "full_rate",
                fmt::format("the controller {} has no step that climbs as fast as the kiln can",
                            name()),
                fmt::format("write a rate that the kiln keeps up with: `ramp to {} at {}`",
                            temperature(segment.to_c),
                            rate(can_.fastest_rate ? std::min(*can_.fastest_rate, 300.0) : 300.0)));
        }
    }

    void free(std::uint32_t i, const Segment& segment) {
        if (can_fall_freely(can_) != FreeFall::impossible || options_.split) {
            return;
        }
        refuse(DiagnosticKind::free_fall_midway, i, can_.cooling == Can::yes ? "waits" : "cooling",
               fmt::format("the controller {} can't let the kiln fall to {} by itself and then go "
                           "on: its clock would run ahead of the kiln",
                           name(), temperature(segment.to_c)),
               fmt::format("give the fall a rate that the kiln falls at in any case: `cool to {} "
                           "at {}`; or build with `--split`, and start the second part by hand",
                           temperature(segment.to_c), rate(fall_rate(segment))));
    }

    // Slower than the kiln by itself, where that is known.
    double fall_rate(const Segment& segment) const {
        double k_per_h = 150;
        if (segment.estimated_duration_s && *segment.estimated_duration_s > 0) {
            const double by_itself =
                (segment.from_c - segment.to_c) / *segment.estimated_duration_s * 3600;
            k_per_h = std::max(10.0, std::floor(by_itself / 10) * 10);
        }
        return difference_to_scale(k_per_h, can_.scale);
    }

    void opened(std::uint32_t i, const Segment& segment) {
        if (options_.split) {
            return;
        }
        refuse(DiagnosticKind::free_fall_midway, i, {},
               fmt::format("the kiln is opened and falls to {}, and then the controller {} is to "
                           "go on: it can't tell when",
                           temperature(segment.to_c), name()),
               "build with `--split`, and start the second part by hand");
    }

    const Schedule& schedule_;
    const Abilities& can_;
    const StepsOptions& options_;
    std::vector<StepsRefusal> refusals_;
    std::vector<std::size_t> others_;
};

} // namespace

std::vector<StepsRefusal> refusals_of(const Schedule& schedule, const Abilities& can,
                                      const StepsOptions& options) {
    return Refusing(schedule, can, options).all();
}

} // namespace fettle
