#include "runtime/log/judge.h"

#include "runtime/schedule/curve.h"

#include <algorithm>
#include <cmath>

namespace fettle {
namespace {

constexpr double rate_window_s = 600;
constexpr double gap_that_hides_s = 300;

class Judge {
  public:
    explicit Judge(const JudgeInput& input) : in_(input), schedule_(*input.schedule) {}

    Judgement run() {
        out_.curve = curve_of(*in_.reading, in_.sensor);
        out_.alignment = align(out_.curve, schedule_);
        smooth_ = smoothed(out_.curve, 120);
        out_.heat = cone_reached(*in_.scale, stretches_of(out_.curve));
        out_.shelves = shelf_heats(in_.witnesses, in_.looks, out_.curve, *in_.scale);
        for (std::size_t i = 0; i < schedule_.segments.size(); ++i)
            out_.segments.push_back(segment(i));
        take_phases();
        for (std::size_t i = 0; i < in_.acceptance.size(); ++i)
            out_.acceptance.push_back(decide(i));
        decide_overall();
        return std::move(out_);
    }

  private:
    SegmentJudgement segment(std::size_t i) const {
        const Segment& asked = schedule_.segments[i];
        SegmentJudgement judged;
        judged.piece = out_.alignment.pieces[i];
        judged.asked_s = asked.duration_s;
        if (judged.piece.duration_s() <= 0)
            return judged;
        judged.began_c = temperature_at(smooth_, judged.piece.from_s);
        judged.ended_c = temperature_at(smooth_, judged.piece.to_s);
        const LogCurve part = part_of(smooth_, judged.piece.from_s, judged.piece.to_s);
        const auto [low, high] = std::minmax_element(part.celsius.begin(), part.celsius.end());
        judged.lowest_c = *low;
        judged.highest_c = *high;
        if (asked.kind == SegmentKind::soak) {
            judged.within_band_s =
                time_within(part, asked.to_c - soak_band_k, asked.to_c + soak_band_k);
            return judged;
        }
        if (asked.kind == SegmentKind::ramp)
            judged.asked_rate_k_per_h = asked.rate_k_per_h();
        judged.real_rate_k_per_h =
            (judged.ended_c - judged.began_c) / judged.piece.duration_s() * 3600;
        const bool up = asked.to_c > asked.from_c;
        judged.steepest_k_per_h = up ? steepest_rise_k_per_h(part, -300, 3000, rate_window_s)
                                     : steepest_fall_k_per_h(part, -300, 3000, rate_window_s);
        return judged;
    }

    void take_phases() {
        HeatWork heat(*in_.scale);
        double done_s = out_.curve.begins_s();
        for (std::size_t i = 0; i < out_.segments.size(); ++i) {
            const SegmentJudgement& segment = out_.segments[i];
            const std::uint32_t index = schedule_.segments[i].phase;
            if (out_.phases.empty() || out_.phases.back().phase != index) {
                out_.phases.push_back({.phase = index,
                                       .from_s = segment.piece.from_s,
                                       .asked_s = 0,
                                       .end = segment.piece.end,
                                       .highest_c = segment.highest_c});
            }
            PhaseJudgement& phase = out_.phases.back();
            phase.to_s = segment.piece.to_s;
            phase.asked_s = phase.asked_s && segment.asked_s
                                ? std::optional(*phase.asked_s + *segment.asked_s)
                                : std::nullopt;
            phase.end = worse(phase.end, segment.piece.end);
            phase.highest_c = std::max(phase.highest_c, segment.highest_c);
            for (const HeatStretch& stretch :
                 stretches_of(part_of(out_.curve, done_s, segment.piece.to_s)))
                heat.add(stretch);
            done_s = std::max(done_s, segment.piece.to_s);
            phase.heat = heat.reading();
        }
    }

    // A phase of which some is missing is missing some.
    static PieceEnd worse(PieceEnd a, PieceEnd b) {
        if (a == PieceEnd::reached)
            return b == PieceEnd::not_begun ? PieceEnd::log_ended : b;
        return a;
    }

    // --- acceptance ---

    AcceptanceVerdict decide(std::size_t index) const {
        const AcceptanceItem& item = in_.acceptance[index];
        AcceptanceVerdict verdict;
        switch (item.kind) {
        case AcceptanceKind::peak: verdict = decide_peak(item); break;
        case AcceptanceKind::soak: verdict = decide_soak(item); break;
        case AcceptanceKind::witness: verdict = decide_witness(item); break;
        case AcceptanceKind::duration: verdict = decide_duration(item); break;
        }
        verdict.item = index;
        return verdict;
    }

    std::optional<double> asked_peak() const {
        return Curve(schedule_, Estimates::use, Naming::no).peak().value;
    }

    // The log shows the kiln turning at the top.
    bool shows_the_top() const {
        return out_.alignment.peak_s < out_.curve.ends_s() - 60 &&
               out_.alignment.peak_s > out_.curve.begins_s() + 60;
    }

    double gap_at_the_top() const {
        double gap = 0;
        for (const LogProblem& problem : in_.reading->problems) {
            if (problem.kind == LogProblem::Kind::gap && problem.value > gap_that_hides_s &&
                problem.time_s <= out_.alignment.peak_s + 60 &&
                problem.time_s + problem.value >= out_.alignment.peak_s - 60)
                gap = std::max(gap, problem.value);
        }
        return gap;
    }

    // What would make every answer about the top a guess; nothing: it can be told.
    std::optional<AcceptanceVerdict> hidden_top(double allowed_short_of_c) const {
        AcceptanceVerdict hidden;
        if (!shows_the_top() && out_.alignment.peak_c < allowed_short_of_c) {
            hidden.ground = Ground::log_ends_early;
            hidden.found = out_.alignment.peak_c;
            return hidden;
        }
        if (gap_at_the_top() > 0) {
            hidden.ground = Ground::gap_at_the_top;
            hidden.found = gap_at_the_top();
            return hidden;
        }
        return std::nullopt;
    }

    AcceptanceVerdict decide_peak(const AcceptanceItem& item) const {
        if (const auto hidden = hidden_top(item.value + item.tolerance))
            return *hidden;
        const bool good = std::fabs(out_.alignment.peak_c - item.value) <= item.tolerance + 0.05;
        return {.verdict = good ? Verdict::pass : Verdict::fail, .found = out_.alignment.peak_c};
    }

    AcceptanceVerdict decide_soak(const AcceptanceItem& item) const {
        const auto peak = asked_peak();
        if (!peak)
            return {.ground = Ground::not_in_schedule};
        const double found = time_within(smooth_, *peak - item.tolerance, *peak + item.tolerance);
        if (found >= item.value - 30)
            return {.verdict = Verdict::pass, .found = found};
        if (const auto hidden = hidden_top(*peak + item.tolerance))
            return *hidden;
        return {.verdict = Verdict::fail, .found = found};
    }

    // As of the schedule: everything but what the kiln cools by itself.
    AcceptanceVerdict decide_duration(const AcceptanceItem& item) const {
        double found = 0;
        PieceEnd end = PieceEnd::reached;
        for (std::size_t i = 0; i < out_.segments.size(); ++i) {
            const SegmentKind kind = schedule_.segments[i].kind;
            if (kind == SegmentKind::free || kind == SegmentKind::opened)
                continue;
            found += out_.segments[i].piece.duration_s();
            end = worse(end, out_.segments[i].piece.end);
        }
        AcceptanceVerdict verdict{.found = found};
        if (out_.alignment.begins_late)
            verdict.ground = Ground::log_begins_late;
        else if (end == PieceEnd::log_ended || end == PieceEnd::not_begun)
            verdict.ground = Ground::log_ends_early;
        else
            verdict.verdict = std::fabs(found - item.value) <= item.tolerance + 30 ? Verdict::pass
                                                                                   : Verdict::fail;
        return verdict;
    }

    // The cone is down when its tip touches. One that lies flat had more heat work, how much more
    // only a hotter cone beside it can tell.
    AcceptanceVerdict decide_witness(const AcceptanceItem& item) const {
        AcceptanceVerdict best{.ground = Ground::no_cone_read, .found = out_.heat.position};
        for (const ShelfHeat& shelf : out_.shelves) {
            if (!item.shelf.empty() && shelf.shelf != item.shelf)
                continue;
            const AcceptanceVerdict here = decide_on_shelf(item, shelf);
            const bool first = best.ground == Ground::no_cone_read;
            if (first || (here.verdict == Verdict::fail && best.verdict != Verdict::fail) ||
                (best.verdict == Verdict::cannot_tell && here.verdict == Verdict::pass))
                best = here;
        }
        return best;
    }

    static AcceptanceVerdict decide_on_shelf(const AcceptanceItem& item, const ShelfHeat& shelf) {
        AcceptanceVerdict verdict{.ground = Ground::other_cones, .shelf = shelf.shelf};
        if (shelf.known)
            verdict.found = shelf.heat.position;
        if (shelf.contradictory) {
            verdict.ground = Ground::contradictory;
            return verdict;
        }
        bool hotter_down = false, hotter_up = false, colder_up = false;
        for (const WitnessReading& reading : shelf.readings) {
            const bool down = reading.look == ConeLook::touching || reading.look == ConeLook::flat;
            hotter_down |= reading.cone > item.value && down;
            hotter_up |= reading.cone > item.value && !down;
            colder_up |= reading.cone < item.value && !down;
            if (reading.cone == item.value) {
                verdict.ground = Ground::cone_read;
                verdict.look = reading.look;
            }
        }
        const bool short_of_it =
            verdict.look == ConeLook::standing || verdict.look == ConeLook::bending || colder_up;
        if (short_of_it || hotter_down)
            verdict.verdict = Verdict::fail;
        else if (verdict.look == ConeLook::touching || (verdict.look && hotter_up))
            verdict.verdict = Verdict::pass;
        else if (verdict.look)
            verdict.ground = Ground::flat_alone;
        return verdict;
    }

    void decide_overall() {
        const auto has = [&](Verdict wanted) {
            return std::any_of(out_.acceptance.begin(), out_.acceptance.end(),
                               [&](const auto& verdict) { return verdict.verdict == wanted; });
        };
        if (has(Verdict::fail))
            out_.overall = Verdict::fail;
        else if (!out_.acceptance.empty() && !has(Verdict::cannot_tell))
            out_.overall = Verdict::pass;
    }

    const JudgeInput& in_;
    const Schedule& schedule_;
    LogCurve smooth_;
    Judgement out_;
};

} // namespace

Judgement judge(const JudgeInput& input) {
    return Judge(input).run();
}

} // namespace fettle
