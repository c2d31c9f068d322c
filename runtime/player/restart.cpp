// How a firing goes on after the power was lost, or a person was asked.
#include "runtime/player/player.h"
#include "runtime/player/straight.h"

namespace fettle::player {

namespace {

std::uint32_t check_of(const Saved& saved) {
    std::uint32_t hash = 2166136261u; // FNV-1a
    const auto add = [&hash](std::int64_t value) {
        auto bits = static_cast<std::uint64_t>(value);
        for (int i = 0; i < 8; ++i) {
            hash = (hash ^ static_cast<std::uint32_t>(bits & 0xff)) * 16777619u;
            bits >>= 8;
        }
    };
    const std::int64_t numbers[] = {saved.fingerprint,
                                    saved.segment_ms,
                                    saved.firing_ms,
                                    saved.delay_ms,
                                    saved.waited_ms,
                                    saved.back_ms,
                                    saved.join_ms,
                                    saved.joined_ms,
                                    saved.reading_millicelsius,
                                    saved.join_from_millicelsius,
                                    saved.hold_millicelsius,
                                    saved.segment,
                                    saved.back_segment,
                                    saved.power_cuts,
                                    static_cast<std::int64_t>(saved.state),
                                    static_cast<std::int64_t>(saved.before),
                                    static_cast<std::int64_t>(saved.reason),
                                    saved.returning,
                                    saved.soak_missed,
                                    saved.has_reading};
    for (const std::int64_t number : numbers) {
        add(number);
    }
    return hash;
}

// A record with the right check can still be nonsense, if something else wrote it.
bool is_possible(const Saved& saved, const Table& table) {
    const auto time = [](std::int64_t ms) { return ms >= 0 && ms <= longest_ms * most_segments; };
    const auto temperature = [](std::int32_t millicelsius) {
        return millicelsius >= coldest_millicelsius && millicelsius <= hottest_millicelsius;
    };
    if (saved.segment >= table.segment_count || saved.back_segment >= table.segment_count ||
        saved.state > State::alarm || saved.before > State::alarm ||
        saved.reason > Reason::paused_and_cold) {
        return false;
    }
    const Segment& segment = table.segments[saved.segment];
    return time(saved.segment_ms) && time(saved.firing_ms) && time(saved.delay_ms) &&
           time(saved.waited_ms) && time(saved.back_ms) && time(saved.join_ms) &&
           saved.join_ms <= longest_ms && time(saved.joined_ms) &&
           saved.joined_ms <= saved.join_ms &&
           (takes_its_own_time(segment.kind) || saved.segment_ms <= segment.duration_ms) &&
           temperature(saved.reading_millicelsius) && temperature(saved.hold_millicelsius) &&
           temperature(saved.join_from_millicelsius);
}

bool climbs(Kind kind, std::int32_t from, std::int32_t to) {
    return kind == Kind::full || (kind == Kind::ramp && to > from);
}

} // namespace

Saved Player::save() const {
    Saved saved{};
    saved.fingerprint = fingerprint(*table_);
    saved.segment_ms = segment_ms_;
    saved.firing_ms = firing_ms_;
    saved.delay_ms = delay_ms_;
    saved.waited_ms = waited_ms_;
    saved.back_ms = back_ms_;
    saved.join_ms = join_ms_;
    saved.joined_ms = joined_ms_;
    saved.reading_millicelsius = reading_;
    saved.join_from_millicelsius = join_from_;
    saved.hold_millicelsius = hold_;
    saved.segment = segment_;
    saved.back_segment = back_segment_;
    saved.power_cuts = power_cuts_;
    // A second cut before the first was judged: what was before it counts, and so does where the
    // kiln was then.
    saved.state = state_ == State::restarting ? before_ : state_;
    saved.before = before_;
    saved.reason = reason_;
    saved.returning = returning_;
    saved.soak_missed = soak_missed_;
    saved.has_reading = has_reading_;
    if (state_ == State::restarting) {
        saved.reading_millicelsius = fallen_from_;
    }
    saved.check = check_of(saved);
    return saved;
}

Refusal Player::restore(const Saved& saved, std::int64_t now_ms, std::int64_t off_ms) {
    const Refusal refusal = start(now_ms);
    if (refusal != Refusal::none) {
        return refusal;
    }
    if (saved.check != check_of(saved) || !is_possible(saved, *table_)) {
        end_with(State::alarm, Reason::damaged_memory);
        return Refusal::none;
    }
    if (saved.fingerprint != fingerprint(*table_)) {
        end_with(State::alarm, Reason::another_table);
        return Refusal::none;
    }
    segment_ms_ = saved.segment_ms;
    firing_ms_ = saved.firing_ms;
    delay_ms_ = saved.delay_ms;
    waited_ms_ = saved.waited_ms;
    back_ms_ = saved.back_ms;
    join_ms_ = saved.join_ms;
    joined_ms_ = saved.joined_ms;
    join_from_ = saved.join_from_millicelsius;
    hold_ = saved.hold_millicelsius;
    segment_ = saved.segment;
    back_segment_ = saved.back_segment;
    power_cuts_ = saved.power_cuts;
    state_ = saved.state;
    before_ = saved.before;
    reason_ = saved.reason;
    returning_ = saved.returning;
    soak_missed_ = saved.soak_missed;
    if (is_live()) {
        before_ = state_;
        state_ = State::restarting;
        off_ms_ = off_ms < 0 ? off_time_unknown : off_ms < longest_ms ? off_ms : longest_ms;
        fallen_from_ = saved.reading_millicelsius;
        knows_fall_ = saved.has_reading;
    }
    return Refusal::none;
}

bool Player::is_cooling() const {
    return segment_ > last_hot_segment_;
}

// Whether this segment or one after it climbs.
bool Player::climbs_ahead() const {
    for (std::uint16_t i = segment_; i < table_->segment_count; ++i) {
        if (climbs(segment_at(i).kind, from_of(i), segment_at(i).to_millicelsius)) {
            return true;
        }
    }
    return false;
}

void Player::restart() {
    if (power_cuts_ < UINT16_MAX) {
        ++power_cuts_;
    }
    if (before_ == State::delayed) {
        restart_delay();
        return;
    }
    const std::int32_t fell = knows_fall_ ? fallen_from_ - reading_ : 0;
    const bool brief = off_ms_ <= policy_.brief_off_ms && fell <= policy_.brief_fall_millikelvin;
    if (brief) {
        state_ = before_;
        return;
    }
    const Reason question =
        before_ == State::paused ? Reason::paused_and_cold : question_after_cut(fell);
    if (question != Reason::none) {
        state_ = State::asking;
        reason_ = question;
        return;
    }
    state_ = State::running;
    if (is_cooling()) {
        join_downwards();
    } else {
        take_up();
    }
}

// The start keeps its hour where a clock ran on; otherwise the delay goes on where it was.
void Player::restart_delay() {
    delay_ms_ += off_ms_ == off_time_unknown ? 0 : off_ms_;
    state_ = State::delayed;
    if (delay_ms_ - table_->delay_ms > policy_.latest_start_ms) {
        state_ = State::asking;
        reason_ = Reason::start_missed;
    }
}

// Why a person must decide; none where the policy does.
Reason Player::question_after_cut(std::int32_t fell_millikelvin) const {
    if (is_cooling()) {
        return climbs_ahead() ? Reason::cooling_climbs : Reason::none;
    }
    if (off_ms_ > policy_.longest_off_ms) {
        return Reason::off_too_long;
    }
    const bool full = segment_at(segment_).kind == Kind::full;
    const std::int32_t was_at = full ? fallen_from_ : set_point();
    if (was_at < policy_.gentle_below_millicelsius) {
        return Reason::none;
    }
    const std::int32_t near_top = peak_millicelsius(*table_) - policy_.near_top_millikelvin;
    if (was_at >= near_top &&
        (fell_millikelvin > policy_.top_fall_millikelvin || off_ms_ > policy_.top_off_ms)) {
        return Reason::top_interrupted;
    }
    return fell_millikelvin > policy_.largest_fall_millikelvin ? Reason::fell_too_far
                                                               : Reason::none;
}

Refusal Player::decide(Decision decision) {
    if (state_ != State::asking) {
        return Refusal::state;
    }
    if (decision == Decision::stay_off) {
        end_with(State::stopped, Reason::none);
        return Refusal::none;
    }
    if (!has_reading_) {
        return Refusal::no_reading;
    }
    const bool from_the_start = before_ == State::delayed;
    const bool down = !from_the_start && is_cooling();
    if (down && decision == Decision::go_on && climbs_ahead()) {
        return Refusal::would_climb;
    }
    state_ = State::running;
    reason_ = Reason::none;
    waited_ms_ = 0;
    if (from_the_start) {
        delay_ms_ = table_->delay_ms;
    } else if (!down) {
        take_up();
    } else if (decision == Decision::go_on) {
        join_downwards();
    } else {
        climb_back();
    }
    return Refusal::none;
}

// On the way up: to the last place before this one where the curve climbs through the kiln's
// temperature, and from there by the table's own rates.
void Player::take_up() {
    if (reading_ >= set_point()) {
        return;
    }
    back_segment_ = segment_;
    back_ms_ = segment_ms_;
    join_ms_ = joined_ms_ = 0;
    returning_ = place_millicelsius() >= policy_.gentle_below_millicelsius;
    for (std::int32_t i = segment_; i >= 0; --i) {
        const auto index = static_cast<std::uint16_t>(i);
        const Segment& segment = segment_at(index);
        const std::int32_t from = from_of(index);
        const std::int32_t to = segment.to_millicelsius;
        if (climbs(segment.kind, from, to) && reading_ >= from && reading_ <= to) {
            segment_ = index;
            segment_ms_ =
                segment.kind == Kind::full ? 0 : time_at(from, to, reading_, segment.duration_ms);
            waited_ms_ = 0;
            return;
        }
    }
    // Colder than the firing ever was: from its beginning.
    segment_ = 0;
    segment_ms_ = 0;
    enter_from(reading_);
}

// On the way down, told so: straight back to where it was.
void Player::climb_back() {
    const Kind kind = segment_at(segment_).kind;
    if (takes_its_own_time(kind) || reading_ >= set_point()) {
        return;
    }
    join_ms_ = joined_ms_ = 0;
    join(reading_, policy_.back_millikelvin_per_h);
}

// On the way down: on to where the curve has come down to the kiln. Nothing ahead climbs.
void Player::join_downwards() {
    const bool free = takes_its_own_time(segment_at(segment_).kind);
    if (!free && reading_ >= set_point()) {
        return;
    }
    join_ms_ = joined_ms_ = 0;
    while (true) {
        const Segment& segment = segment_at(segment_);
        const std::int32_t from = from_of(segment_);
        const std::int32_t to = segment.to_millicelsius;
        if (to <= reading_) {
            if (segment.kind == Kind::ramp && from > reading_) {
                segment_ms_ = time_at(from, to, reading_, segment.duration_ms);
            }
            return;
        }
        soak_missed_ = soak_missed_ || segment.kind == Kind::soak;
        next_segment();
        if (state_ != State::running) {
            return;
        }
    }
}

} // namespace fettle::player
