// Plays a table against a clock and a sensor: says, each time it is asked, which temperature the
// kiln should have and whether it may be heated. The loop that switches the heating is not in here;
// it takes `set_point_millicelsius` and must keep the heating off where `heating` is `off`.
//
// THIS IS NOT A SAFETY DEVICE. It stops when a reading is impossible, when a kiln climbs that
// should not, or does not climb that should; but it trusts one sensor, one switch and the computer
// it runs on. A kiln needs an over-temperature cut-out that is independent of all three, and a
// person who looks.
//
// Fit for a microcontroller: C++17, needs <cstdint> and nothing else, no heap, no exceptions, no
// input or output, no floating point. A player is about 200 bytes, and a call takes the time of a
// few divisions (a restart: of a walk through the table). The table must outlive it.
//
// Times are milliseconds of any clock that never runs backwards (where the clock of a processor
// starts again at 0 after some weeks, count it up to 64 bit first). Temperatures are thousandths
// of a degree Celsius.
#pragma once

#include "runtime/player/policy.h"
#include "runtime/player/table.h"

#include <cstdint>

namespace fettle::player {

enum class Sensor : std::uint8_t { good, open, shorted };

struct Reading {
    Sensor sensor;
    std::int32_t millicelsius; // counts only where the sensor is good
};

enum class State : std::uint8_t {
    idle,       // nothing was started
    delayed,    // the start is still to come
    running,    //
    waiting,    // the clock of the segment waits for the kiln
    paused,     // by a person; holds the temperature
    restarting, // power came back; the first good reading decides
    asking,     // heating off until a person decides (Player::decide)
    finished,   //
    stopped,    // by a person
    alarm,      // heating off until a person has acknowledged it; `reason` says why
};

enum class Reason : std::uint8_t {
    none,
    // of an alarm
    over_temperature, // hotter than the peak and the ceiling allow
    sensor_open,      //
    sensor_shorted,   //
    sensor_range,     // a temperature that no kiln has
    sensor_jump,      // a change that no kiln can make
    heats_while_off,  // climbs although the heating is off: a stuck relay, another burner
    runaway,          // climbs away above the set-point
    does_not_heat,    // should climb and does not
    waited_too_long,  // a soak that the kiln never came near enough to
    took_too_long,    // a segment without a time of its own that never ended
    clock,            // ran backwards
    another_table,    // what was saved is of another firing
    damaged_memory,   // what was saved can't be read
    // of asking
    off_too_long,    // the power was off for long
    fell_too_far,    // the kiln cooled too far to go on unasked
    top_interrupted, // near the top, where minutes count
    cooling_climbs,  // was cooling, and the firing would have the kiln climb again
    start_missed,    // the delayed start has passed
    paused_too_long, //
    paused_and_cold, // the power was lost during a pause
};

enum class Heating : std::uint8_t {
    off,
    to_set_point, // by the loop
    full,         // as fast as the kiln can
};

// What the kiln should do now, and how the firing stands.
struct Now {
    State state;
    Reason reason;
    Heating heating;
    bool returning;   // climbs back to where it was when the power was lost
    bool soak_missed; // a soak on the way down was left out after the power was lost
    bool sensor_good; // of this reading
    std::uint16_t segment;
    std::uint16_t power_cuts;
    // Where heating is off: the target of the segment.
    std::int32_t set_point_millicelsius;
    std::int64_t segment_ms; // spent in this segment, by its own clock
    std::int64_t firing_ms;  // since the first segment began, pauses and waits and all
    const char* job;         // of this segment, for the person who fires; nullptr: none
};

// Why a request of a person was not done; nothing has changed then.
enum class Refusal : std::uint8_t {
    none,
    table,           // has a fault (fault_of)
    policy,          // is not sound
    state,           // not now
    not_asked,       // skipping has to be asked for in the open
    another_segment, // the one to be skipped is not the one that runs
    would_climb,     // a firing that was cooling would climb again: say climb_again
    no_reading,      // not before the sensor has given one
};

// A skip must say that it is meant: a button held down by a shelf must not skip a soak.
enum class Asked : std::uint8_t { no, in_the_open };

enum class Decision : std::uint8_t {
    stay_off,
    go_on,       // on the way up: climb back to where it was; on the way down: from where it is
    climb_again, // on the way down: climb back to where it was
};

// Where a firing stands, to be kept through a power cut; plain data without padding that matters.
struct Saved {
    std::uint32_t check; // over all that follows
    std::uint32_t fingerprint;
    std::int64_t segment_ms, firing_ms, delay_ms, waited_ms, back_ms;
    std::int64_t join_ms, joined_ms;
    std::int32_t reading_millicelsius, join_from_millicelsius, hold_millicelsius;
    std::uint16_t segment, back_segment, power_cuts;
    State state, before;
    Reason reason;
    bool returning, soak_missed, has_reading;
};

// For restore(): there was no clock that ran through the power cut.
constexpr std::int64_t off_time_unknown = -1;

class Player {
  public:
    explicit Player(const Table& table, const Policy& policy = Policy{});

    // From idle only; begins the delay of the table.
    Refusal start(std::int64_t now_ms);
    // To be called about every second, whatever the state, and obeyed at once.
    Now tick(std::int64_t now_ms, Reading reading);

    Refusal pause();
    Refusal resume();
    // Goes on with the segment after `segment`, without a jump of the set-point: at the place where
    // the next one has the present temperature, or by a way there at its own rate.
    Refusal skip(std::uint16_t segment, Asked asked);
    Refusal stop();
    Refusal decide(Decision decision);
    // A finished, stopped or alarmed player becomes idle.
    Refusal acknowledge();

    // To be kept where it outlasts a power cut, as often as the memory bears; every minute will do.
    Saved save() const;
    // For a new player, in place of start(). `off_ms`: since `saved` was saved, or
    // off_time_unknown. The next good reading decides how the firing goes on:
    // - off briefly and hardly fallen: where it stood
    // - climbing, below 600C: where the kiln now is
    // - climbing above it: back to where it was, at the table's rates; unless off or fallen too far
    // - near the top: the same within narrow limits, else a person is asked
    // - cooling: where the curve meets the kiln; it never climbs again unless a person says so
    Refusal restore(const Saved& saved, std::int64_t now_ms, std::int64_t off_ms);

    // Without pauses and waits; by what the kiln model expected for segments without a time of
    // their own. Negative: not known.
    std::int64_t remaining_ms() const;

  private:
    // player.cpp
    const Segment& segment_at(std::uint16_t index) const { return table_->segments[index]; }
    std::int32_t from_of(std::uint16_t index) const;
    std::int32_t place_millicelsius() const;
    std::int32_t set_point() const;
    bool has_heating_off() const;
    bool is_live() const;
    void end_with(State state, Reason reason);
    void next_segment();
    void enter_from(std::int32_t millicelsius);
    void join(std::int32_t from_millicelsius, std::int64_t millikelvin_per_h);
    bool has_ended(const Segment& segment) const;
    void advance(std::int64_t step_ms);
    std::int64_t advance_join(std::int64_t left_ms);
    bool advance_segment(std::int64_t& left_ms);
    Now now() const;
    // watch.cpp
    void read(Reading reading, std::int64_t step_ms);
    Reason fault_of_reading(Reading reading) const;
    void watch(std::int64_t step_ms);
    void watch_climb();
    void watch_no_rise(std::int64_t step_ms);
    // restart.cpp
    bool is_cooling() const;
    bool climbs_ahead() const;
    void restart();
    void restart_delay();
    Reason question_after_cut(std::int32_t fell_millikelvin) const;
    void take_up();
    void climb_back();
    void join_downwards();

    const Table* table_;
    Policy policy_;
    std::int64_t last_ms_ = 0;
    std::int64_t segment_ms_ = 0;
    std::int64_t firing_ms_ = 0;
    std::int64_t delay_ms_ = 0;  // of the table's delay, so far
    std::int64_t waited_ms_ = 0; // in a waiting segment, or paused
    std::int64_t off_ms_ = 0;    // for restart()
    std::int64_t since_good_ms_ = 0;
    std::int64_t bad_ms_ = 0;      // since the first bad reading
    std::int64_t no_rise_ms_ = -1; // without the rise that is due; negative: none is due
    std::int64_t back_ms_ = 0;     // while returning: the place to come back to
    std::int64_t join_ms_ = 0;     // a way from join_from_ to the place; 0: none
    std::int64_t joined_ms_ = 0;
    std::int32_t join_from_ = 0;
    std::int32_t reading_ = 0; // the last good one
    std::int32_t fallen_from_ = 0;
    std::int32_t hold_ = 0; // while paused
    std::int32_t lowest_ = 0;
    std::int32_t rise_from_ = 0;
    std::int32_t hottest_allowed_ = 0;
    std::int32_t last_hot_segment_ = -1; // the last that ends at the peak
    std::uint16_t segment_ = 0;
    std::uint16_t back_segment_ = 0;
    std::uint16_t power_cuts_ = 0;
    State state_ = State::idle;
    State before_ = State::idle; // restarting or asking: what it was
    Reason reason_ = Reason::none;
    Reason climb_watched_ = Reason::none;
    bool returning_ = false;
    bool soak_missed_ = false;
    bool has_reading_ = false;
    bool knows_fall_ = true; // for restart(): fallen_from_ was read
    bool reading_good_ = false;
};

} // namespace fettle::player
