#include "runtime/log/align.h"

#include "runtime/schedule/curve.h"

#include <algorithm>
#include <cmath>

namespace fettle {
namespace {

constexpr double another_peak_k = 60; // so far from the asked peak, it is another firing's log
constexpr double another_times = 2.5; // or it took so many times longer, or shorter
constexpr double leaving_k = 40;      // the kiln has left a soak when it is so far away
constexpr double most_overshoot_k = 40;
constexpr double dip_k = 10;
constexpr double unit_fits_k = 25;

class Aligner {
  public:
    Aligner(const LogCurve& curve, const Schedule& schedule)
        : raw_(curve), curve_(smoothed(curve, 120)), segments_(schedule.segments),
          schedule_(schedule) {}

    Alignment align() {
        result_.pieces.resize(segments_.size());
        find_start();
        now_ = result_.start_s;
        for (std::size_t i = 0; i < segments_.size();)
            i = take(i);
        find_dips();
        find_peak();
        compare_as_a_whole();
        return std::move(result_);
    }

  private:
    // The first climb away from the start.
    void find_start() {
        double target = schedule_.start_c;
        for (const Segment& segment : segments_) {
            if (segment.to_c > schedule_.start_c + 5) {
                target = segment.to_c;
                break;
            }
        }
        const double first = curve_.celsius.front();
        result_.start_c = first;
        if (first > schedule_.start_c + std::max(15.0, 0.3 * (target - schedule_.start_c))) {
            result_.begins_late = true;
            result_.start_s = curve_.begins_s();
            return;
        }
        const double well_up = std::max(first, schedule_.start_c) +
                               std::clamp(0.3 * (target - schedule_.start_c), 5.0, 60.0);
        const double up = first_at_or_above(curve_, well_up, 0).value_or(curve_.ends_s());
        const LogCurve before = part_of(curve_, curve_.begins_s(), up);
        const double coldest =
            before.empty() ? first
                           : *std::min_element(before.celsius.begin(), before.celsius.end());
        result_.start_s = last_at_or_below(curve_, coldest + 2, 0, up).value_or(0);
        result_.start_c = temperature_at(curve_, result_.start_s);
    }

    std::size_t take(std::size_t i) {
        const Segment& segment = segments_[i];
        if (segment.kind == SegmentKind::soak)
            return take_soaks(i);
        AlignedPiece& piece = result_.pieces[i];
        piece.from_s = now_;
        if (over_)
            piece.end = PieceEnd::not_begun;
        else if (segment.to_c >= segment.from_c)
            take_climb(segment, piece);
        else
            take_fall(segment, piece);
        piece.to_s = now_;
        return i + 1;
    }

    void take_climb(const Segment& segment, AlignedPiece& piece) {
        const double reach = std::min(reach_k, (segment.to_c - segment.from_c) / 4);
        if (const auto at = first_at_or_above(curve_, segment.to_c - reach, now_)) {
            now_ = std::min(curve_.ends_s(), *at + time_for(reach, *at, -1));
            held_c_ = segment.to_c;
            return;
        }
        const LogCurve rest = part_of(curve_, now_, curve_.ends_s());
        if (rest.empty()) {
            over_ = true;
            piece.end = PieceEnd::not_begun;
            return;
        }
        const LogExtreme top = hottest(rest);
        const bool still_climbing = top.time_s > curve_.ends_s() - 300;
        piece.end = still_climbing ? PieceEnd::log_ended : PieceEnd::not_reached;
        over_ = still_climbing;
        now_ = first_at_or_above(curve_, top.celsius - reach_k, now_).value_or(top.time_s);
        if (still_climbing)
            now_ = curve_.ends_s();
        held_c_ = std::min(segment.to_c, top.celsius);
    }

    void take_fall(const Segment& segment, AlignedPiece& piece) {
        const double reach = std::min(reach_k, (segment.from_c - segment.to_c) / 4);
        if (const auto at = first_at_or_below(curve_, segment.to_c + reach, now_)) {
            now_ = std::min(curve_.ends_s(), *at + time_for(reach, *at, -1));
            held_c_ = segment.to_c;
            return;
        }
        piece.end = PieceEnd::log_ended;
        now_ = curve_.ends_s();
        over_ = true;
    }

    // How long the kiln would take for so many degrees at the pace that it has before (`side` −1)
    // or after a time; at most ten minutes.
    double time_for(double kelvin, double time_s, double side) const {
        constexpr double window_s = 600;
        const double moved = std::fabs(temperature_at(curve_, time_s) -
                                       temperature_at(curve_, time_s + side * window_s));
        return moved < 1 ? 0 : std::min(window_s, kelvin / moved * window_s);
    }

    // Soaks that follow one another are one stretch of the log.
    std::size_t take_soaks(std::size_t first) {
        std::size_t last = first;
        double asked = 0;
        for (; last < segments_.size() && segments_[last].kind == SegmentKind::soak; ++last)
            asked += segments_[last].duration_s.value_or(0);
        const double level = std::min(segments_[first].to_c, held_c_);
        const double until = over_ ? now_ : std::max(now_, soak_end(level, asked, last));
        for (std::size_t i = first; i < last; ++i) {
            AlignedPiece& piece = result_.pieces[i];
            piece.from_s = now_;
            const double own = segments_[i].duration_s.value_or(0);
            now_ = i + 1 == last ? until : std::min(until, now_ + own);
            piece.to_s = now_;
            piece.end = over_ && piece.from_s == piece.to_s ? PieceEnd::not_begun
                        : over_                             ? PieceEnd::log_ended
                                                            : PieceEnd::reached;
        }
        return last;
    }

    double soak_end(double level, double asked, std::size_t next) {
        if (next == segments_.size()) {
            over_ = now_ + asked > curve_.ends_s() + 60;
            return std::min(now_ + asked, curve_.ends_s());
        }
        const double to = segments_[next].to_c;
        if (to > level) {
            const double held = overshot(level, asked, segments_[next]);
            const auto left =
                first_at_or_above(curve_, held + std::min((to - held) / 2, leaving_k), now_);
            if (left)
                return left_at(last_at_or_below(curve_, held + reach_k, now_, *left));
        } else {
            const double down = level - std::min((level - to) / 2, leaving_k);
            const auto left = first_at_or_below(curve_, down, now_);
            // A dip that is made good again is part of the soak.
            const double end =
                first_at_or_below(curve_, to + reach_k, now_).value_or(curve_.ends_s());
            if (left)
                return left_at(last_at_or_above(curve_, level - reach_k, now_, end));
        }
        // Never left: the log ends in it, or the climb that should follow was not made.
        over_ = true;
        return curve_.ends_s();
    }

    // A kiln that runs past a soak and stays there is still in it; one that goes on at half the
    // pace of the next climb is not.
    double overshot(double level, double asked_s, const Segment& climb) const {
        const LogCurve first = part_of(curve_, now_, now_ + 0.7 * asked_s);
        if (first.empty())
            return level;
        const double run_k = std::min(hottest(first).celsius, climb.to_c - 1) - level;
        const double pace = (first.celsius.back() - first.celsius.front()) /
                            (first.ends_s() - first.begins_s()) * 3600;
        const bool stays = pace < 0.4 * climb.rate_k_per_h().value_or(100);
        return stays ? level + std::clamp(run_k, 0.0, most_overshoot_k) : level;
    }

    // A soak was left a little before the kiln was `reach_k` away.
    double left_at(std::optional<double> away_s) const {
        return away_s ? std::max(now_, *away_s - time_for(reach_k, *away_s, 1)) : now_;
    }

    void find_dips() {
        for (std::size_t i = 0; i < segments_.size(); ++i) {
            if (segments_[i].to_c < segments_[i].from_c || result_.pieces[i].duration_s() <= 0)
                continue;
            find_dips_in(part_of(curve_, result_.pieces[i].from_s, result_.pieces[i].to_s));
        }
    }

    void find_dips_in(const LogCurve& part) {
        double highest = -300, at = 0, lowest = 0;
        bool down = false;
        for (std::size_t i = 0; i < part.time_s.size(); ++i) {
            const double celsius = part.celsius[i];
            if (celsius >= highest) {
                if (down)
                    result_.dips.push_back({at, part.time_s[i], highest - lowest});
                down = false;
                highest = celsius;
                at = part.time_s[i];
                lowest = celsius;
            } else {
                lowest = std::min(lowest, celsius);
                down |= celsius < highest - dip_k;
            }
        }
    }

    void find_peak() {
        const LogExtreme top = hottest(smoothed(raw_, 60));
        result_.peak_c = top.celsius;
        result_.peak_s = top.time_s;
    }

    void compare_as_a_whole() {
        const Curve asked(schedule_, Estimates::use, Naming::no);
        const double peak = asked.peak().value.value_or(result_.peak_c);
        const double off = std::fabs(result_.peak_c - peak);
        result_.looks_like_fahrenheit =
            off > another_peak_k && std::fabs((result_.peak_c - 32) / 1.8 - peak) < unit_fits_k;
        double asked_s = 0, real_s = 0;
        for (std::size_t i = 0; i < segments_.size(); ++i) {
            if (segments_[i].duration_s && result_.pieces[i].end == PieceEnd::reached) {
                asked_s += *segments_[i].duration_s;
                real_s += result_.pieces[i].duration_s();
            }
        }
        const bool other_pace = asked_s > 3600 && (real_s > another_times * asked_s ||
                                                   asked_s > another_times * real_s);
        result_.looks_like_another = off > another_peak_k || other_pace;
    }

    const LogCurve& raw_;
    LogCurve curve_;
    const std::vector<Segment>& segments_;
    const Schedule& schedule_;
    Alignment result_;
    double now_ = 0;
    double held_c_ = 1e9; // what the last climb came to
    bool over_ = false;   // the log has nothing more
};

} // namespace

Alignment align(const LogCurve& curve, const Schedule& schedule) {
    return Aligner(curve, schedule).align();
}

} // namespace fettle
