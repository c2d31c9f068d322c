#include "runtime/schedule/curve.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace fettle {

namespace {

// Two temperatures nearer than this are one: what is left of converting and adding.
constexpr double same_k = 1e-6;

struct Range {
    double low, high;

    Range(double a, double b) : low(std::min(a, b)), high(std::max(a, b)) {
        if (std::isnan(a) || std::isnan(b)) {
            low = high = std::nan("");
        }
    }
    bool is_number() const { return low <= high; }
};

bool is_flat(const Segment& segment) {
    return std::fabs(segment.to_c - segment.from_c) <= same_k;
}

// The share of its time that a straight line spends in the range. It spends its time evenly over
// its temperatures, so this is a share of degrees; a flat one is in or out.
double share_within(double from_c, double to_c, Range range) {
    if (std::fabs(to_c - from_c) <= same_k) {
        return to_c >= range.low - same_k && to_c <= range.high + same_k ? 1 : 0;
    }
    auto [bottom, top] = std::minmax(from_c, to_c);
    double degrees = std::min(top, range.high) - std::max(bottom, range.low);
    return degrees > same_k ? degrees / (top - bottom) : 0;
}
double share_within(const Segment& segment, Range range) {
    return share_within(segment.from_c, segment.to_c, range);
}

// Whether any part of a climb or fall lies in the range; a range of one temperature is passed by
// what reaches it.
bool passes(double from_c, double to_c, Range range) {
    auto [bottom, top] = std::minmax(from_c, to_c);
    double degrees = std::min(top, range.high) - std::max(bottom, range.low);
    return range.high - range.low <= same_k ? degrees >= -same_k : degrees > same_k;
}
bool passes(const Segment& segment, Range range) {
    return passes(segment.from_c, segment.to_c, range);
}

// A segment whose course is only estimated, as more than one straight line.
bool bends(const Segment& segment) {
    return !segment.duration_s && segment.estimated_course.size() > 2;
}
// f(from_c, to_c, duration_s) for each straight line of the segment.
template <typename F> void for_each_straight(const Segment& segment, double duration_s, F f) {
    if (!bends(segment)) {
        f(segment.from_c, segment.to_c, duration_s);
        return;
    }
    const auto& course = segment.estimated_course;
    for (std::size_t i = 1; i < course.size(); ++i) {
        f(course[i - 1].temperature_c, course[i].temperature_c,
          course[i].time_s - course[i - 1].time_s);
    }
}
// Time of a segment within the range.
double time_within_range(const Segment& segment, double duration_s, Range range) {
    double total = 0;
    for_each_straight(segment, duration_s, [&](double from_c, double to_c, double time_s) {
        total += time_s * share_within(from_c, to_c, range);
    });
    return total;
}
// The fastest change of a segment within the range, K/h, in its own direction.
double fastest_within(const Segment& segment, double duration_s, Range range) {
    double fastest = 0;
    for_each_straight(segment, duration_s, [&](double from_c, double to_c, double time_s) {
        if (passes(from_c, to_c, range)) {
            fastest = std::max(fastest, std::fabs(to_c - from_c) / time_s * 3600);
        }
    });
    return fastest;
}

bool is_cooling_by_itself(const Segment& segment) {
    return segment.kind == SegmentKind::free || segment.kind == SegmentKind::opened;
}

// Gathers an answer. Once one part is unknown the whole is, and only such parts are named.
class Gathering {
  public:
    explicit Gathering(Naming naming) : naming_(naming) {}

    bool known() const { return known_; }

    void name(std::size_t segment) {
        if (naming_ == Naming::yes && known_) {
            add(segment);
        }
    }
    // Forgets the segments named so far: a better one was found.
    void name_only(std::size_t segment) {
        if (known_) {
            segments_.clear();
        }
        name(segment);
    }
    void unknown(std::size_t segment) {
        if (known_) {
            segments_.clear();
        }
        known_ = false;
        if (naming_ == Naming::yes) {
            add(segment);
        }
    }
    CurveAnswer answer(double value) && {
        return {known_ ? std::optional<double>(value) : std::nullopt, std::move(segments_)};
    }

  private:
    void add(std::size_t segment) { segments_.push_back(static_cast<std::uint32_t>(segment)); }

    Naming naming_;
    bool known_ = true;
    std::vector<std::uint32_t> segments_;
};

} // namespace

CurveAnswer Curve::start() const {
    return {schedule_->start_c, {}};
}

CurveAnswer Curve::peak() const {
    const auto& segments = schedule_->segments;
    double highest = schedule_->start_c;
    for (const Segment& segment : segments) {
        highest = std::max(highest, segment.to_c);
    }
    Gathering gathering(naming_);
    for (std::size_t i = 0; i < segments.size() && naming_ == Naming::yes; ++i) {
        if (segments[i].to_c >= highest - same_k) {
            gathering.name(i);
        }
    }
    return std::move(gathering).answer(highest);
}

template <typename Counts> CurveAnswer Curve::sum_of_durations(Counts counts) const {
    const auto& segments = schedule_->segments;
    Gathering gathering(naming_);
    double total = 0;
    for (std::size_t i = 0; i < segments.size(); ++i) {
        if (!counts(segments[i])) {
            continue;
        }
        if (auto duration = duration_of(segments[i])) {
            total += *duration;
            gathering.name(i);
        } else {
            gathering.unknown(i);
        }
    }
    return std::move(gathering).answer(total);
}

CurveAnswer Curve::duration() const {
    return sum_of_durations([](const Segment& segment) { return !is_cooling_by_itself(segment); });
}

CurveAnswer Curve::free_cooling() const {
    return sum_of_durations(is_cooling_by_itself);
}

// `sign` is +1 for climbs, -1 for falls.
template <typename Counts>
CurveAnswer Curve::fastest(double a_c, double b_c, double sign, Counts counts) const {
    const Range range(a_c, b_c);
    if (!range.is_number()) {
        return {};
    }
    const auto& segments = schedule_->segments;
    Gathering gathering(naming_);
    double fastest = 0;
    for (std::size_t i = 0; i < segments.size(); ++i) {
        const Segment& segment = segments[i];
        const double change = sign * (segment.to_c - segment.from_c);
        if (change <= same_k || !counts(segment) || !passes(segment, range)) {
            continue;
        }
        const auto duration = duration_of(segment);
        if (!duration) {
            gathering.unknown(i);
            continue;
        }
        const double rate = fastest_within(segment, *duration, range);
        const double tie = rate * 1e-9;
        if (rate > fastest + tie) {
            fastest = rate;
            gathering.name_only(i);
        } else if (rate >= fastest - tie) {
            gathering.name(i);
        }
    }
    return std::move(gathering).answer(fastest);
}

CurveAnswer Curve::fastest_rise(double low_c, double high_c) const {
    return fastest(low_c, high_c, +1, [](const Segment&) { return true; });
}

CurveAnswer Curve::fastest_fall(double high_c, double low_c) const {
    return fastest(high_c, low_c, -1, [](const Segment&) { return true; });
}

CurveAnswer Curve::fastest_set_fall(double high_c, double low_c) const {
    return fastest(high_c, low_c, -1,
                   [](const Segment& segment) { return !is_cooling_by_itself(segment); });
}

CurveAnswer Curve::opened_between(double high_c, double low_c) const {
    const Range range(high_c, low_c);
    const auto& segments = schedule_->segments;
    Gathering gathering(naming_);
    bool found = false;
    for (std::size_t i = 0; i < segments.size(); ++i) {
        if (segments[i].kind != SegmentKind::opened || !passes(segments[i], range)) {
            continue;
        }
        found = true;
        gathering.name(i);
    }
    return std::move(gathering).answer(found ? 1 : 0);
}

CurveAnswer Curve::hottest_cooling_with(Vent vent) const {
    const auto& segments = schedule_->segments;
    Gathering gathering(naming_);
    double hottest = -std::numeric_limits<double>::infinity();
    for (std::size_t i = 0; i < segments.size(); ++i) {
        const Segment& segment = segments[i];
        if (segment.to_c >= segment.from_c - same_k ||
            schedule_->states[segment.state].vent != vent) {
            continue;
        }
        if (segment.from_c > hottest + same_k) {
            hottest = segment.from_c;
            gathering.name_only(i);
        }
    }
    if (std::isinf(hottest)) {
        return {};
    }
    return std::move(gathering).answer(hottest);
}

// How many segments, from the first, belong to the way up: the last of them rises above `high_c`,
// or (where none does) is the last to end at the peak.
std::size_t Curve::segments_on_the_way_up(double high_c) const {
    const auto& segments = schedule_->segments;
    double highest = schedule_->start_c;
    std::size_t last_at_peak = 0;
    for (std::size_t i = 0; i < segments.size(); ++i) {
        if (segments[i].to_c > high_c + same_k) {
            return i + 1;
        }
        if (segments[i].to_c >= highest - same_k) {
            highest = std::max(highest, segments[i].to_c);
            last_at_peak = i + 1;
        }
    }
    return last_at_peak;
}

CurveAnswer Curve::time_on_the_way_up(double low_c, double high_c) const {
    const Range range(low_c, high_c);
    if (!range.is_number()) {
        return {};
    }
    const auto& segments = schedule_->segments;
    Gathering gathering(naming_);
    double total = 0;
    if (schedule_->start_c <= range.high + same_k) {
        const std::size_t count = segments_on_the_way_up(range.high);
        for (std::size_t i = 0; i < count; ++i) {
            const double share = share_within(segments[i], range);
            if (share <= 0) {
                continue;
            }
            const auto duration = duration_of(segments[i]);
            if (duration || segments[i].kind == SegmentKind::full) {
                total += time_within_range(segments[i], duration.value_or(0), range);
                gathering.name(i);
            } else {
                gathering.unknown(i);
            }
        }
    }
    return std::move(gathering).answer(total);
}

template <typename Counts>
CurveAnswer Curve::time_within(double a_c, double b_c, Counts counts) const {
    const Range range(a_c, b_c);
    if (!range.is_number()) {
        return {};
    }
    const auto& segments = schedule_->segments;
    Gathering gathering(naming_);
    double total = 0;
    for (std::size_t i = 0; i < segments.size(); ++i) {
        const Segment& segment = segments[i];
        if (!counts(segment)) {
            continue;
        }
        const double share = share_within(segment, range);
        if (share <= 0) {
            continue;
        }
        if (auto duration = duration_of(segment)) {
            total += time_within_range(segment, *duration, range);
            gathering.name(i);
        } else {
            gathering.unknown(i);
        }
    }
    return std::move(gathering).answer(total);
}

CurveAnswer Curve::time_above(double temperature_c) const {
    return time_between(temperature_c, std::numeric_limits<double>::infinity());
}

CurveAnswer Curve::time_between(double low_c, double high_c) const {
    return time_within(low_c, high_c, [](const Segment&) { return true; });
}

CurveAnswer Curve::time_rising_between(double low_c, double high_c) const {
    return time_within(low_c, high_c, [](const Segment& segment) {
        return segment.to_c > segment.from_c + same_k;
    });
}

CurveAnswer Curve::time_falling_between(double high_c, double low_c) const {
    return time_within(high_c, low_c, [](const Segment& segment) {
        return segment.to_c < segment.from_c - same_k;
    });
}

CurveAnswer Curve::longest_soak(double low_c, double high_c) const {
    const Range range(low_c, high_c);
    if (!range.is_number()) {
        return {};
    }
    const auto& segments = schedule_->segments;
    Gathering gathering(naming_);
    double longest = 0;
    for (std::size_t i = 0; i < segments.size();) {
        double length = 0;
        std::size_t end = i;
        for (; end < segments.size() && segments[end].kind == SegmentKind::soak &&
               share_within(segments[end], range) > 0;
             ++end) {
            if (auto duration = duration_of(segments[end])) {
                length += *duration;
            } else {
                gathering.unknown(end);
            }
        }
        if (length > longest) {
            longest = length;
            gathering.name_only(i);
            for (std::size_t k = i + 1; k < end; ++k) {
                gathering.name(k);
            }
        }
        i = std::max(end, i + 1);
    }
    return std::move(gathering).answer(longest);
}

CurveAnswer Curve::uses(Atmosphere atmosphere) const {
    const auto& segments = schedule_->segments;
    Gathering gathering(naming_);
    bool found = false;
    for (std::size_t i = 0; i < segments.size(); ++i) {
        if (schedule_->states[segments[i].state].atmosphere != atmosphere) {
            continue;
        }
        found = true;
        gathering.name(i);
    }
    return std::move(gathering).answer(found ? 1 : 0);
}

CurveAnswer Curve::lowest_temperature_in(Atmosphere atmosphere) const {
    const auto& segments = schedule_->segments;
    Gathering gathering(naming_);
    double lowest = std::numeric_limits<double>::infinity();
    for (std::size_t i = 0; i < segments.size(); ++i) {
        if (schedule_->states[segments[i].state].atmosphere != atmosphere) {
            continue;
        }
        const double bottom = std::min(segments[i].from_c, segments[i].to_c);
        if (bottom < lowest - same_k) {
            lowest = bottom;
            gathering.name_only(i);
        } else if (bottom <= lowest + same_k) {
            gathering.name(i);
        }
    }
    if (std::isinf(lowest)) {
        return {};
    }
    return std::move(gathering).answer(lowest);
}

Curve::VentAnswer Curve::vent_between(double low_c, double high_c) const {
    return vent_within(low_c, high_c, schedule_->segments.size());
}

Curve::VentAnswer Curve::vent_on_the_way_up(double low_c, double high_c) const {
    return vent_within(low_c, high_c, segments_on_the_way_up(std::max(low_c, high_c)));
}

Curve::VentAnswer Curve::vent_within(double low_c, double high_c, std::size_t segment_count) const {
    const Range range(low_c, high_c);
    if (!range.is_number()) {
        return {};
    }
    // From least to most open; `unknown` outweighs all.
    static constexpr auto openness = [](Vent vent) {
        switch (vent) {
        case Vent::unknown: return 0;
        case Vent::closed: return 1;
        case Vent::propped: return 2;
        case Vent::open: return 3;
        }
        return 0;
    };
    const auto& segments = schedule_->segments;
    VentAnswer answer;
    for (std::size_t i = 0; i < segment_count; ++i) {
        const bool there = is_flat(segments[i]) ? share_within(segments[i], range) > 0
                                                : passes(segments[i], range);
        if (!there) {
            continue;
        }
        const Vent vent = schedule_->states[segments[i].state].vent;
        if (answer.value && openness(vent) > openness(*answer.value)) {
            continue;
        }
        if (answer.value && vent != *answer.value) {
            answer.segments.clear();
        }
        answer.value = vent;
        if (naming_ == Naming::yes) {
            answer.segments.push_back(static_cast<std::uint32_t>(i));
        }
    }
    if (answer.value == Vent::unknown) {
        answer.value.reset();
    }
    return answer;
}

std::vector<std::optional<double>> Curve::starts_s() const {
    const auto& segments = schedule_->segments;
    std::vector<std::optional<double>> starts(segments.size() + 1);
    starts[0] = 0.0;
    for (std::size_t i = 0; i < segments.size(); ++i) {
        const auto duration = duration_of(segments[i]);
        if (!duration) {
            break;
        }
        starts[i + 1] = *starts[i] + *duration;
    }
    return starts;
}

namespace {

double temperature_in(const Segment& segment, double duration_s, double time_s) {
    double found = segment.to_c, begin = 0;
    bool done = false;
    for_each_straight(segment, duration_s, [&](double from_c, double to_c, double length_s) {
        if (!done && time_s <= begin + length_s) {
            found = from_c + (to_c - from_c) * ((time_s - begin) / length_s);
            done = true;
        }
        begin += length_s;
    });
    return found;
}

} // namespace

std::optional<double> Curve::temperature_at(double time_s) const {
    if (!(time_s >= 0)) {
        return std::nullopt;
    }
    if (time_s == 0) {
        return schedule_->start_c;
    }
    double start = 0;
    for (const Segment& segment : schedule_->segments) {
        const auto duration = duration_of(segment);
        if (!duration) {
            return std::nullopt;
        }
        const double end = start + *duration;
        if (time_s <= end) {
            return temperature_in(segment, *duration, time_s - start);
        }
        start = end;
    }
    return std::nullopt;
}

} // namespace fettle
