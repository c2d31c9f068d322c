#include "runtime/log/correct.h"

#include "runtime/heatwork/root.h"

#include <algorithm>
#include <cmath>

namespace fettle {
namespace {

constexpr double longest_soak_s = 3600;
constexpr double farthest_k = 120;

// A firing like this one, with its top and soak moved, by the sensor.
class LikeThisOne {
  public:
    LikeThisOne(const Judgement& judgement, const Schedule& schedule, const TopOfFiring& top) {
        const LogCurve& curve = judgement.curve;
        const AlignedPiece& climb = judgement.segments[top.climb].piece;
        const double soak_ends = top.soak ? judgement.segments[*top.soak].piece.to_s : climb.to_s;
        up_ = part_of(curve, curve.begins_s(), climb.to_s);
        after_ = stretches_of(part_of(curve, soak_ends, curve.ends_s()));
        all_up_ = stretches_of(up_);
        end_c_ = temperature_at(curve, climb.to_s);
        const LogCurve last_climb = part_of(curve, climb.from_s, climb.to_s);
        const double from =
            first_at_or_above(last_climb, end_c_ - 30, climb.from_s).value_or(climb.from_s);
        rate_k_per_h_ =
            std::max(5.0, (end_c_ - temperature_at(curve, from)) / (climb.to_s - from) * 3600);
        asked_soak_s_ = top.soak ? schedule.segments[*top.soak].duration_s.value_or(0) : 0;
        real_soak_s_ = soak_ends - climb.to_s;
        const LogCurve soak = part_of(curve, climb.to_s, soak_ends);
        soak_c_ = end_c_;
        if (!soak.empty()) {
            double sum = 0;
            for (const HeatStretch& stretch : stretches_of(soak))
                sum += stretch.duration_s * (stretch.from_c + stretch.to_c) / 2;
            soak_c_ = sum / (soak.ends_s() - soak.begins_s());
        }
    }

    std::vector<HeatStretch> with(double change_k, double soak_s, double shift_k) const {
        const double to = end_c_ + change_k;
        std::vector<HeatStretch> all;
        if (change_k >= 0) {
            all = all_up_;
            all.push_back({end_c_, to, change_k / rate_k_per_h_ * 3600});
        } else {
            const double until = first_at_or_above(up_, to, up_.begins_s()).value_or(up_.ends_s());
            all = stretches_of(part_of(up_, up_.begins_s(), until));
        }
        const double level = soak_c_ + change_k;
        all.push_back({level, level, std::max(0.0, real_soak_s_ + soak_s - asked_soak_s_)});
        for (const HeatStretch& stretch : after_)
            all.push_back({stretch.from_c + change_k, stretch.to_c + change_k, stretch.duration_s});
        for (HeatStretch& stretch : all) {
            stretch.from_c += shift_k;
            stretch.to_c += shift_k;
        }
        return all;
    }

  private:
    LogCurve up_;
    std::vector<HeatStretch> all_up_, after_;
    double end_c_ = 0, soak_c_ = 0;
    double rate_k_per_h_ = 60;
    double asked_soak_s_ = 0, real_soak_s_ = 0;
};

// Solves for one cone on one shelf.
struct ForCone {
    const LikeThisOne& firing;
    const ConeKinetics& cone;
    double shift_k;
    double wanted;

    double work_with(double change_k, double soak_s) const {
        return work(cone, firing.with(change_k, soak_s, shift_k));
    }
    double change_for(double soak_s) const {
        const auto miss = [&](double change) {
            return std::log(std::max(1e-30, work_with(change, soak_s) / wanted));
        };
        const double low = miss(-farthest_k), high = miss(farthest_k);
        if (low >= 0)
            return -farthest_k;
        if (high <= 0)
            return farthest_k;
        return root_of_rising(miss, -farthest_k, low, farthest_k, high, 0.01);
    }
    // Nothing: even without a soak too much, or more than the longest.
    std::optional<double> soak_for(double change_k) const {
        const auto miss = [&](double soak) { return work_with(change_k, soak) - wanted; };
        const double low = miss(0), high = miss(longest_soak_s);
        if (low > 0 || high < 0)
            return std::nullopt;
        return root_of_rising(miss, 0, low, longest_soak_s, high, 1);
    }
};

double whole_minutes(double seconds) {
    return std::round(seconds / 60) * 60;
}

} // namespace

std::optional<TopOfFiring> top_of(const Schedule& schedule) {
    std::optional<TopOfFiring> top;
    double highest = schedule.start_c;
    for (std::size_t i = 0; i < schedule.segments.size(); ++i) {
        const Segment& segment = schedule.segments[i];
        if (segment.kind == SegmentKind::soak) {
            if (top && !top->soak && i == top->climb + 1)
                top->soak = i;
        } else if (segment.to_c > highest) {
            highest = segment.to_c;
            top = TopOfFiring{.climb = i};
        }
    }
    return top;
}

NextTime correct(const Judgement& judgement, const Schedule& schedule, const ConeScale& scale,
                 double cone_number, double shift_k, bool by_cones) {
    NextTime next{.cone = cone_number, .shift_k = shift_k};
    const auto top = top_of(schedule);
    const ConeKinetics* cone = scale.find(cone_number);
    if (cone == nullptr) {
        next.outcome = CorrectionOutcome::unknown_cone;
        return next;
    }
    if (!top || judgement.segments[top->climb].piece.duration_s() <= 0 ||
        judgement.segments[top->climb].piece.end == PieceEnd::log_ended)
        return next;
    next.top_c = schedule.segments[top->climb].to_c;
    next.soak_s = top->soak ? schedule.segments[*top->soak].duration_s.value_or(0) : 0;
    next.work_was = work(*cone, stretches_of(judgement.curve, shift_k));
    const double designed =
        std::max(1.0, work(*cone, stretches_of(schedule, Estimates::use).stretches));
    next.work_asked = next.work_was < 1 ? 1 : designed;
    const double least = by_cones ? 0.9 : 0.75 * designed;
    const double most = by_cones ? 1.2 * designed : 1.4 * designed;
    if (next.work_was > least && next.work_was < most) {
        next.outcome = CorrectionOutcome::as_it_is;
        return next;
    }
    const LikeThisOne firing(judgement, schedule, *top);
    const ForCone solve{firing, *cone, shift_k, next.work_asked};
    const bool short_of_top = judgement.segments[top->climb].piece.end == PieceEnd::not_reached;

    // The top in whole degrees, and the soak that makes up the rest of a degree.
    const double change = solve.change_for(next.soak_s);
    const double rounded = std::round(next.top_c + change) - next.top_c;
    Correction moved{.top_c = next.top_c + rounded, .soak_s = next.soak_s};
    if (next.soak_s > 0) {
        if (const auto soak = solve.soak_for(rounded))
            moved.soak_s = std::max(60.0, whole_minutes(*soak));
    }
    moved.work = solve.work_with(rounded, moved.soak_s);
    next.outcome = short_of_top && change > 0           ? CorrectionOutcome::fell_short
                   : std::fabs(change) > large_change_k ? CorrectionOutcome::large
                                                        : CorrectionOutcome::solved;
    if (next.outcome != CorrectionOutcome::fell_short)
        next.choices.push_back(moved);
    if (const auto soak = solve.soak_for(0); soak && whole_minutes(*soak) != next.soak_s) {
        const double minutes = whole_minutes(*soak);
        next.choices.push_back(
            {.top_c = next.top_c, .soak_s = minutes, .work = solve.work_with(0, minutes)});
    }
    return next;
}

ConeReading heat_next_time(const Judgement& judgement, const Schedule& schedule,
                           const ConeScale& scale, const NextTime& next, const Correction& choice,
                           double shift_k) {
    const auto top = top_of(schedule);
    if (!top)
        return judgement.heat;
    const LikeThisOne firing(judgement, schedule, *top);
    return cone_reached(scale, firing.with(choice.top_c - next.top_c, choice.soak_s, shift_k));
}

} // namespace fettle
