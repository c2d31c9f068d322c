#include "compiler/target/rows.h"

#include <algorithm>
#include <cmath>

namespace fettle {

namespace {

// Degrees an hour keyed for a row that only soaks: never acted on, but something must be entered.
constexpr double idle_rate_k_per_h = 60;

class RowMaker {
  public:
    RowMaker(const Schedule& schedule, const Abilities& can, std::optional<double> starts_s)
        : schedule_(schedule), can_(can), at_s_(starts_s) {}

    RowSet make(const std::vector<Leg>& legs) {
        set_.rows.reserve(legs.size());
        set_.legs.reserve(legs.size());
        for (std::uint32_t i = 0; i < legs.size(); ++i) {
            const bool is_cut = (i > 0 && legs[i - 1].first == legs[i].first) ||
                                (i + 1 < legs.size() && legs[i + 1].first == legs[i].first);
            if (joins(legs[i], is_cut)) {
                join(legs[i]);
            } else {
                add(legs[i], i);
            }
            set_.legs.back().second = i + 1;
        }
        return std::move(set_);
    }

  private:
    static std::optional<double> minutes(const Leg& leg) {
        return leg.duration_s ? std::optional(*leg.duration_s / 60) : std::nullopt;
    }

    // A soak belongs to the row of the climb before it, and to the soak before it.
    bool joins(const Leg& leg, bool is_cut) const {
        if (can_.form != StepForm::rate_target_soak || leg.kind != SegmentKind::soak ||
            set_.rows.empty()) {
            return false;
        }
        const StepRow& row = set_.rows.back();
        const double soaked_s = row.soak_min.value_or(0) * 60;
        if (soaked_s == 0) {
            return row.kind != SegmentKind::free || !row.waiting_within;
        }
        return !is_cut && row.waiting_within == leg.waiting &&
               (!can_.longest_step_s || soaked_s + *leg.duration_s <= *can_.longest_step_s);
    }

    void join(const Leg& leg) {
        StepRow& row = set_.rows.back();
        row.soak_min = row.soak_min.value_or(0) + *minutes(leg);
        if (leg.waiting) {
            row.waiting_within = leg.waiting;
        }
        row.soak_segments += cover(row, leg);
        end(row, leg);
    }

    void add(const Leg& leg, std::uint32_t index) {
        StepRow& row = set_.rows.emplace_back();
        set_.legs.push_back({index, index + 1});
        row.step = static_cast<std::uint32_t>(set_.rows.size());
        row.target = leg.to;
        row.kind = leg.kind;
        row.waiting_within = leg.waiting;
        row.phase = schedule_.phases[schedule_.segments[leg.first].phase].name;
        row.from_c = from_scale(leg.from, can_.scale);
        row.to_c = from_scale(leg.to, can_.scale);
        row.starts_s = at_s_;
        const std::uint32_t covered = cover(row, leg);
        if (leg.kind == SegmentKind::soak && can_.form != StepForm::duration_target) {
            row.soak_segments = covered;
        }
        key(row, leg);
        end(row, leg);
    }

    void key(StepRow& row, const Leg& leg) const {
        const bool waits_for_fall =
            leg.kind == SegmentKind::free && can_fall_freely(can_) == FreeFall::by_waiting;
        if (waits_for_fall) {
            row.waiting_within = waiting_for_a_fall(can_);
        }
        const bool soak = leg.kind == SegmentKind::soak;
        switch (can_.form) {
        case StepForm::duration_target:
            row.duration_min = waits_for_fall ? can_.time_step_s / 60 : minutes(leg);
            break;
        case StepForm::rate_target_soak:
            row.rate_per_h = soak ? idle_rate() : leg.rate;
            row.soak_min = soak ? *minutes(leg) : 0;
            break;
        case StepForm::rate_or_soak:
            row.rate_per_h = leg.rate;
            row.soak_min = soak ? minutes(leg) : std::nullopt;
            break;
        }
        if (waits_for_fall && can_.form != StepForm::duration_target) {
            row.rate_per_h = keyed_rate(*can_.fastest_rate, can_);
        }
    }

    // Of the row before, or something that can be keyed.
    double idle_rate() const {
        if (set_.rows.size() > 1 && set_.rows[set_.rows.size() - 2].rate_per_h) {
            return *set_.rows[set_.rows.size() - 2].rate_per_h;
        }
        double rate = difference_to_scale(idle_rate_k_per_h, can_.scale);
        rate = std::min(rate, can_.fastest_rate.value_or(rate));
        rate = std::max(rate, can_.slowest_rate.value_or(rate));
        return std::max(keyed_rate(rate, can_), can_.rate_step);
    }

    // Returns how many segments are new in the row.
    static std::uint32_t cover(StepRow& row, const Leg& leg) {
        std::uint32_t added = 0;
        for (std::uint32_t segment = leg.first; segment <= leg.last; ++segment) {
            if (row.segments.empty() || row.segments.back() < segment) {
                row.segments.push_back(segment);
                ++added;
            }
        }
        return added;
    }

    void end(StepRow& row, const Leg& leg) {
        const auto own = leg.duration_s ? leg.duration_s : leg.estimated_s;
        estimated_ = estimated_ || (!leg.duration_s && leg.estimated_s);
        at_s_ = at_s_ && own ? std::optional(*at_s_ + *own) : std::nullopt;
        row.ends_s = at_s_;
        row.ends_estimated = at_s_ && estimated_;
    }

    const Schedule& schedule_;
    const Abilities& can_;
    std::optional<double> at_s_;
    bool estimated_ = false;
    RowSet set_;
};

} // namespace

FreeFall can_fall_freely(const Abilities& can) {
    if (can.cooling != Can::yes) {
        return FreeFall::impossible;
    }
    if (can.full_rate == Can::yes) {
        return FreeFall::as_fast_as_it_can;
    }
    const bool has_fastest = can.form == StepForm::duration_target || can.fastest_rate;
    return can.waits == Can::yes && has_fastest ? FreeFall::by_waiting : FreeFall::impossible;
}

double waiting_for_a_fall(const Abilities& can) {
    const double degrees = difference_to_scale(5, can.scale);
    const double steps = std::max(1.0, std::floor(degrees / can.temperature_step + 1e-9));
    return steps * can.temperature_step;
}

RowSet rows_of(const std::vector<Leg>& legs, const Schedule& schedule, const Abilities& can,
               std::optional<double> starts_s) {
    return RowMaker(schedule, can, starts_s).make(legs);
}

} // namespace fettle
