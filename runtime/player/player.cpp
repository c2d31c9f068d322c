#include "runtime/player/player.h"

#include "runtime/player/straight.h"

namespace fettle::player {

namespace {

constexpr std::int64_t ms_per_h = 3600 * 1000;

// Times beyond all sense count as the longest that has any.
std::int64_t time_between(std::int64_t earlier_ms, std::int64_t later_ms) {
    const std::uint64_t time =
        static_cast<std::uint64_t>(later_ms) - static_cast<std::uint64_t>(earlier_ms);
    return time > longest_ms ? longest_ms : static_cast<std::int64_t>(time);
}

std::int32_t lower(std::int32_t a, std::int32_t b) {
    return a < b ? a : b;
}
std::int32_t higher(std::int32_t a, std::int32_t b) {
    return a < b ? b : a;
}

std::int32_t hottest_allowed(const Table& table, const Policy& policy) {
    const std::int32_t peak = peak_millicelsius(table);
    const std::int32_t over_peak = peak + policy.over_peak_millikelvin;
    if (table.ceiling_millicelsius >= hottest_millicelsius) {
        return over_peak;
    }
    // Where a kiln is fired to its very ceiling, the loop may overshoot a little.
    const std::int32_t over_ceiling =
        higher(table.ceiling_millicelsius, peak + policy.over_ceiling_millikelvin);
    return lower(over_peak, over_ceiling);
}

std::int32_t last_hot_segment(const Table& table) {
    const std::int32_t peak = peak_millicelsius(table);
    std::int32_t last = -1;
    for (std::uint16_t i = 0; i < table.segment_count; ++i) {
        if (table.segments[i].to_millicelsius == peak) {
            last = i;
        }
    }
    return last;
}

} // namespace

Player::Player(const Table& table, const Policy& policy) : table_(&table), policy_(policy) {}

Refusal Player::start(std::int64_t now_ms) {
    if (state_ != State::idle) {
        return Refusal::state;
    }
    if (fault_of(*table_) != TableFault::none) {
        return Refusal::table;
    }
    if (!is_sound(policy_)) {
        return Refusal::policy;
    }
    const Table* table = table_;
    const Policy policy = policy_;
    *this = Player(*table, policy);
    last_ms_ = now_ms;
    hottest_allowed_ = hottest_allowed(*table_, policy_);
    last_hot_segment_ = last_hot_segment(*table_);
    state_ = State::delayed;
    return Refusal::none;
}

Now Player::tick(std::int64_t now_ms, Reading reading) {
    const bool backwards = now_ms < last_ms_;
    const std::int64_t step_ms = backwards ? 0 : time_between(last_ms_, now_ms);
    last_ms_ = now_ms;
    if (state_ == State::idle) {
        return now();
    }
    if (backwards) {
        end_with(State::alarm, Reason::clock);
        return now();
    }
    const bool gap = step_ms > policy_.longest_gap_ms;
    if (gap && is_live() && state_ != State::restarting) {
        before_ = state_;
        state_ = State::restarting;
        off_ms_ = 0;
        fallen_from_ = reading_;
    }
    read(reading, step_ms);
    if (reading_good_) {
        watch(gap ? 0 : step_ms);
    }
    if (state_ == State::restarting) {
        off_ms_ = off_ms_ == off_time_unknown ? off_time_unknown : off_ms_ + step_ms;
        if (reading_good_) {
            restart();
        }
    } else if (is_live() && reading_good_) {
        advance(step_ms);
    }
    return now();
}

// --- requests of a person -----------------------------------------------------------------------

Refusal Player::pause() {
    if (state_ != State::running && state_ != State::waiting) {
        return Refusal::state;
    }
    if (!has_reading_) {
        return Refusal::no_reading;
    }
    // At the end of a climb as fast as the kiln can, the set-point is not where the kiln is.
    hold_ = segment_at(segment_).kind == Kind::full ? lower(reading_, set_point()) : set_point();
    state_ = State::paused;
    waited_ms_ = 0;
    return Refusal::none;
}

Refusal Player::resume() {
    if (state_ != State::paused) {
        return Refusal::state;
    }
    state_ = State::running;
    waited_ms_ = 0;
    return Refusal::none;
}

Refusal Player::skip(std::uint16_t segment, Asked asked) {
    if (state_ != State::running && state_ != State::waiting) {
        return Refusal::state;
    }
    if (asked != Asked::in_the_open) {
        return Refusal::not_asked;
    }
    if (segment != segment_) {
        return Refusal::another_segment;
    }
    if (!has_reading_) {
        return Refusal::no_reading;
    }
    const std::int32_t here =
        takes_its_own_time(segment_at(segment_).kind) ? reading_ : set_point();
    returning_ = false;
    state_ = State::running;
    next_segment();
    if (state_ == State::running) {
        enter_from(here);
    }
    return Refusal::none;
}

Refusal Player::stop() {
    if (!is_live() && state_ != State::asking) {
        return Refusal::state;
    }
    end_with(State::stopped, Reason::none);
    return Refusal::none;
}

Refusal Player::acknowledge() {
    if (state_ != State::finished && state_ != State::stopped && state_ != State::alarm) {
        return Refusal::state;
    }
    state_ = State::idle;
    reason_ = Reason::none;
    return Refusal::none;
}

// --- where the firing is ------------------------------------------------------------------------

std::int32_t Player::from_of(std::uint16_t index) const {
    return index == 0 ? table_->start_millicelsius : segment_at(index - 1).to_millicelsius;
}

std::int32_t Player::place_millicelsius() const {
    const Segment& segment = segment_at(segment_);
    if (segment.kind != Kind::ramp) {
        return segment.to_millicelsius;
    }
    return value_at(from_of(segment_), segment.to_millicelsius, segment_ms_, segment.duration_ms);
}

std::int32_t Player::set_point() const {
    const std::int32_t place = place_millicelsius();
    return join_ms_ == 0 ? place : value_at(join_from_, place, joined_ms_, join_ms_);
}

bool Player::is_live() const {
    return state_ == State::delayed || state_ == State::running || state_ == State::waiting ||
           state_ == State::paused || state_ == State::restarting;
}

bool Player::has_heating_off() const {
    if (state_ != State::running && state_ != State::waiting && state_ != State::paused) {
        return true;
    }
    const Kind kind = segment_at(segment_).kind;
    return kind == Kind::free || kind == Kind::opened;
}

// The first alarm stays until it is acknowledged.
void Player::end_with(State state, Reason reason) {
    if (state_ != State::alarm) {
        state_ = state;
        reason_ = reason;
    }
}

// --- time ---------------------------------------------------------------------------------------

void Player::advance(std::int64_t step_ms) {
    if (state_ == State::delayed) {
        delay_ms_ += step_ms;
        if (delay_ms_ < table_->delay_ms) {
            return;
        }
        step_ms = delay_ms_ - table_->delay_ms;
        delay_ms_ = table_->delay_ms;
        state_ = State::running;
    }
    firing_ms_ += step_ms;
    if (state_ == State::paused) {
        waited_ms_ += step_ms;
        if (waited_ms_ > policy_.longest_pause_ms) {
            before_ = State::paused;
            end_with(State::asking, Reason::paused_too_long);
        }
        return;
    }
    std::int64_t left_ms = advance_join(step_ms);
    while (join_ms_ == 0 && advance_segment(left_ms)) {
    }
}

// What is left of the time after the way to the place.
std::int64_t Player::advance_join(std::int64_t left_ms) {
    if (join_ms_ == 0) {
        return left_ms;
    }
    joined_ms_ += left_ms;
    if (joined_ms_ < join_ms_) {
        return 0;
    }
    left_ms = joined_ms_ - join_ms_;
    join_ms_ = joined_ms_ = 0;
    return left_ms;
}

// By the kiln's temperature.
bool Player::has_ended(const Segment& segment) const {
    return segment.kind == Kind::full ? reading_ >= segment.to_millicelsius
                                      : reading_ <= segment.to_millicelsius;
}

// Spends of the time what the segment takes. False: nothing is left to do now.
bool Player::advance_segment(std::int64_t& left_ms) {
    const Segment& segment = segment_at(segment_);
    if (takes_its_own_time(segment.kind)) {
        segment_ms_ += left_ms;
        left_ms = 0;
        if (has_ended(segment)) {
            next_segment();
            return state_ == State::running;
        }
        if (segment_ms_ > policy_.longest_own_time_ms) {
            end_with(State::alarm, Reason::took_too_long);
        }
        return false;
    }
    const std::int32_t within = segment.waiting_within_millikelvin;
    if (within > 0 && left_ms > 0 && distance(reading_, set_point()) > within) {
        state_ = State::waiting;
        waited_ms_ += left_ms;
        if (waited_ms_ > policy_.longest_wait_ms) {
            end_with(State::alarm, Reason::waited_too_long);
        }
        return false;
    }
    state_ = State::running;
    const std::int64_t to_end_ms = segment.duration_ms - segment_ms_;
    const std::int64_t step_ms = left_ms < to_end_ms ? left_ms : to_end_ms;
    segment_ms_ += step_ms;
    left_ms -= step_ms;
    if (returning_ && segment_ == back_segment_ && segment_ms_ >= back_ms_) {
        returning_ = false;
    }
    if (segment_ms_ < segment.duration_ms) {
        return false;
    }
    next_segment();
    return state_ == State::running;
}

void Player::next_segment() {
    do {
        if (segment_ + 1 >= table_->segment_count) {
            end_with(State::finished, Reason::none);
            return;
        }
        ++segment_;
        segment_ms_ = 0;
        waited_ms_ = 0;
        if (returning_ && segment_ >= back_segment_) {
            const Segment& back = segment_at(segment_);
            returning_ = segment_ == back_segment_ && back.kind == Kind::ramp;
            segment_ms_ = segment_ == back_segment_ && back.kind == Kind::soak ? back_ms_ : 0;
        }
    } while (returning_ && segment_ < back_segment_ && segment_at(segment_).kind == Kind::soak &&
             segment_at(segment_).to_millicelsius >= policy_.gentle_below_millicelsius);
}

void Player::enter_from(std::int32_t millicelsius) {
    join_ms_ = joined_ms_ = 0;
    const Segment& segment = segment_at(segment_);
    if (takes_its_own_time(segment.kind)) {
        return;
    }
    const std::int32_t from = from_of(segment_);
    const std::int32_t to = segment.to_millicelsius;
    if (segment.kind == Kind::soak || from == to) {
        join(millicelsius, policy_.back_millikelvin_per_h);
    } else if (millicelsius >= lower(from, to) && millicelsius <= higher(from, to)) {
        segment_ms_ = time_at(from, to, millicelsius, segment.duration_ms);
    } else {
        const std::int64_t rate = distance(from, to) * ms_per_h / segment.duration_ms;
        join(millicelsius, rate > slowest_millikelvin_per_h ? rate : slowest_millikelvin_per_h);
    }
}

void Player::join(std::int32_t from_millicelsius, std::int64_t millikelvin_per_h) {
    const std::int64_t way = distance(from_millicelsius, place_millicelsius());
    join_from_ = from_millicelsius;
    join_ms_ = (way * ms_per_h + millikelvin_per_h - 1) / millikelvin_per_h;
    joined_ms_ = 0;
}

// ------------------------------------------------------------------------------------------------

Now Player::now() const {
    Now now{};
    now.state = state_;
    now.reason = reason_;
    now.returning = returning_ || join_ms_ > 0;
    now.soak_missed = soak_missed_;
    now.sensor_good = reading_good_;
    now.segment = segment_;
    now.power_cuts = power_cuts_;
    now.segment_ms = segment_ms_;
    now.firing_ms = firing_ms_;
    now.heating = Heating::off;
    if (table_->segments == nullptr || segment_ >= table_->segment_count) {
        return now;
    }
    const Segment& segment = segment_at(segment_);
    const bool plays =
        state_ == State::running || state_ == State::waiting || state_ == State::paused;
    now.job = plays ? segment.job : nullptr;
    if (has_heating_off() || !reading_good_) {
        now.set_point_millicelsius = segment.to_millicelsius;
    } else if (state_ == State::paused) {
        now.heating = Heating::to_set_point;
        now.set_point_millicelsius = hold_;
    } else {
        now.heating = segment.kind == Kind::full ? Heating::full : Heating::to_set_point;
        now.set_point_millicelsius = set_point();
    }
    return now;
}

std::int64_t Player::remaining_ms() const {
    if (state_ != State::delayed && state_ != State::running && state_ != State::waiting &&
        state_ != State::paused) {
        return state_ == State::finished ? 0 : -1;
    }
    std::int64_t left_ms = table_->delay_ms - delay_ms_ + join_ms_ - joined_ms_;
    for (std::uint16_t i = segment_; i < table_->segment_count; ++i) {
        const Segment& segment = segment_at(i);
        const bool own_time = takes_its_own_time(segment.kind);
        if (own_time && segment.expected_ms == 0) {
            return -1;
        }
        const std::int64_t whole_ms = own_time ? segment.expected_ms : segment.duration_ms;
        const std::int64_t spent_ms = i == segment_ ? segment_ms_ : 0;
        left_ms += spent_ms < whole_ms ? whole_ms - spent_ms : 0;
    }
    return left_ms;
}

} // namespace fettle::player
