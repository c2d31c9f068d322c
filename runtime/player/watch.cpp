// What a player notices about its sensor and its kiln.
#include "runtime/player/player.h"
#include "runtime/player/straight.h"

namespace fettle::player {

Reason Player::fault_of_reading(Reading reading) const {
    if (reading.sensor == Sensor::open) {
        return Reason::sensor_open;
    }
    if (reading.sensor == Sensor::shorted) {
        return Reason::sensor_shorted;
    }
    if (reading.sensor != Sensor::good ||
        reading.millicelsius < policy_.sensor_lowest_millicelsius ||
        reading.millicelsius > policy_.sensor_highest_millicelsius) {
        return Reason::sensor_range;
    }
    if (!has_reading_) {
        return Reason::none;
    }
    const bool opened = state_ != State::idle && segment_at(segment_).kind == Kind::opened;
    if (opened && reading.millicelsius < reading_) {
        return Reason::none;
    }
    const std::int64_t change =
        static_cast<std::int64_t>(reading.millicelsius) - static_cast<std::int64_t>(reading_);
    const std::int64_t possible =
        policy_.sensor_jump_millikelvin + policy_.sensor_millikelvin_per_s * since_good_ms_ / 1000;
    return change > possible || change < -possible ? Reason::sensor_jump : Reason::none;
}

void Player::read(Reading reading, std::int64_t step_ms) {
    // Far more than any allowance needs; keeps the sum small however long the sensor is away.
    constexpr std::int64_t long_ago_ms = longest_ms;
    since_good_ms_ =
        since_good_ms_ + step_ms < long_ago_ms ? since_good_ms_ + step_ms : long_ago_ms;
    const Reason fault = fault_of_reading(reading);
    if (fault == Reason::none) {
        reading_ = reading.millicelsius;
        has_reading_ = reading_good_ = true;
        since_good_ms_ = bad_ms_ = 0;
        return;
    }
    // The first bad reading begins the grace; what was before it was good.
    bad_ms_ = reading_good_ ? 0 : bad_ms_ + step_ms;
    reading_good_ = false;
    if (is_live() && bad_ms_ >= policy_.sensor_grace_ms) {
        end_with(State::alarm, fault);
    }
}

void Player::watch(std::int64_t step_ms) {
    if (reading_ > hottest_allowed_) {
        end_with(State::alarm, Reason::over_temperature);
    }
    watch_climb();
    watch_no_rise(step_ms);
}

// Whether the kiln climbs while nothing should heat it.
void Player::watch_climb() {
    Reason cause = Reason::none;
    if (has_heating_off()) {
        cause = Reason::heats_while_off;
    } else if (segment_at(segment_).kind != Kind::full) {
        const std::int32_t target = state_ == State::paused ? hold_ : set_point();
        cause = reading_ - target > policy_.above_millikelvin ? Reason::runaway : Reason::none;
    }
    if (cause != Reason::none && (climb_watched_ == Reason::none || reading_ < lowest_)) {
        lowest_ = reading_;
    }
    climb_watched_ = cause;
    if (cause != Reason::none && reading_ - lowest_ > policy_.afterglow_millikelvin) {
        end_with(State::alarm, cause);
    }
}

// Whether the kiln stays where it is while it should climb.
void Player::watch_no_rise(std::int64_t step_ms) {
    bool should_climb = false;
    if (!has_heating_off()) {
        const std::int32_t target = state_ == State::paused ? hold_ : set_point();
        const bool full = state_ != State::paused && segment_at(segment_).kind == Kind::full;
        should_climb = full || target - reading_ > policy_.behind_millikelvin;
    }
    const bool watched = no_rise_ms_ >= 0;
    if (!should_climb) {
        no_rise_ms_ = -1;
    } else if (!watched || reading_ - rise_from_ >= policy_.least_rise_millikelvin) {
        no_rise_ms_ = 0;
        rise_from_ = reading_;
    } else {
        no_rise_ms_ += step_ms;
        if (no_rise_ms_ > policy_.no_rise_ms) {
            end_with(State::alarm, Reason::does_not_heat);
        }
    }
}

} // namespace fettle::player
