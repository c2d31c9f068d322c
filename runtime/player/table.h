// A firing as constant data for a controller: what `fettle build --as header` writes and
// runtime/player/player.h plays. Plain integers with their unit in the name, no pointers to
// anything but other constants, so that a table can live in read-only memory and every machine
// gets the same result from it. Needs C++17 and nothing but <cstdint>.
//
// THIS IS NOT A SAFETY DEVICE. A table says what was asked for, not what is safe. A kiln needs an
// over-temperature cut-out that is independent of whatever plays this table.
#pragma once

#include <cstdint>

namespace fettle::player {

enum class Kind : std::uint8_t {
    ramp,   // a straight climb or fall over duration_ms
    soak,   // stays at one temperature for duration_ms
    full,   // as fast as the kiln can climb; ends when the kiln is there
    free,   // shut, heating off; ends when the kiln has cooled to the target
    opened, // heating off, cooled with the kiln open; ends as `free` does
};

// Whether a segment ends by the kiln's temperature and not by the clock.
constexpr bool takes_its_own_time(Kind kind) {
    return kind == Kind::full || kind == Kind::free || kind == Kind::opened;
}

// A segment starts where the one before it ends (the first: at Table::start_millicelsius).
struct Segment {
    Kind kind;
    std::int32_t to_millicelsius;
    std::int64_t duration_ms; // 0 where the segment takes its own time
    // What a kiln model expects where duration_ms is 0, for showing only; 0: not known.
    std::int64_t expected_ms;
    // The clock runs only while the kiln is this near to the target; 0: it never waits.
    std::int32_t waiting_within_millikelvin;
    std::uint16_t phase; // index in Table::phases
    const char* job;     // for the person who fires, when the segment starts; nullptr: none
};

// Where the kiln's ceiling is not known.
constexpr std::int32_t no_ceiling = INT32_MAX;

struct Table {
    const char* name;
    std::int32_t start_millicelsius;
    std::int32_t ceiling_millicelsius; // the kiln's own limit, or no_ceiling
    std::int64_t delay_ms;             // wait before the first segment
    const Segment* segments;
    std::uint16_t segment_count;
    const char* const* phases; // their names
    std::uint16_t phase_count;
};

// What may be in a table. Wider than any kiln; narrow enough that no sum or product in 64 bit
// overflows.
constexpr std::int32_t coldest_millicelsius = -60'000;
constexpr std::int32_t hottest_millicelsius = 2'100'000;
constexpr std::int64_t longest_ms = 400LL * 24 * 3600 * 1000; // one segment, or the delay
constexpr std::uint16_t most_segments = 10'000;

enum class TableFault : std::uint8_t {
    none,
    empty,           // no segments, or no place for them
    too_many,        // more than most_segments
    temperature,     // outside coldest..hottest, or above the kiln's ceiling
    duration,        // negative or too long, or none where the clock decides
    wrong_direction, // a soak that moves, a `full` that falls, a cooling that climbs
    waiting,         // a negative distance, or on a segment that takes its own time
    phase,           // not in the list of phases
};

// The first fault of a table. A generated header asserts that there is none:
//     static_assert(fettle::player::fault_of(mugs) == fettle::player::TableFault::none);
// A ramp to the temperature where it already is counts as a soak and is allowed.
constexpr TableFault fault_of(const Table& table) {
    const auto possible = [](std::int32_t millicelsius) {
        return millicelsius >= coldest_millicelsius && millicelsius <= hottest_millicelsius;
    };
    if (table.segment_count == 0 || table.segments == nullptr) {
        return TableFault::empty;
    }
    if (table.segment_count > most_segments) {
        return TableFault::too_many;
    }
    if (!possible(table.start_millicelsius)) {
        return TableFault::temperature;
    }
    if (table.delay_ms < 0 || table.delay_ms > longest_ms) {
        return TableFault::duration;
    }
    std::int32_t from = table.start_millicelsius;
    for (std::uint16_t i = 0; i < table.segment_count; ++i) {
        const Segment& segment = table.segments[i];
        const std::int32_t to = segment.to_millicelsius;
        const bool own_time = takes_its_own_time(segment.kind);
        const bool cools = own_time && segment.kind != Kind::full;
        if (!possible(to) || (to > from && to > table.ceiling_millicelsius)) {
            return TableFault::temperature;
        }
        if (segment.duration_ms < 0 || segment.duration_ms > longest_ms ||
            segment.expected_ms < 0 || segment.expected_ms > longest_ms ||
            own_time != (segment.duration_ms == 0)) {
            return TableFault::duration;
        }
        if ((segment.kind == Kind::soak && to != from) ||
            (segment.kind == Kind::full && to < from) || (cools && to > from)) {
            return TableFault::wrong_direction;
        }
        if (segment.waiting_within_millikelvin < 0 ||
            (own_time && segment.waiting_within_millikelvin != 0)) {
            return TableFault::waiting;
        }
        if (segment.phase >= table.phase_count) {
            return TableFault::phase;
        }
        from = to;
    }
    return TableFault::none;
}

constexpr std::int32_t peak_millicelsius(const Table& table) {
    std::int32_t peak = table.start_millicelsius;
    for (std::uint16_t i = 0; i < table.segment_count; ++i) {
        if (table.segments[i].to_millicelsius > peak) {
            peak = table.segments[i].to_millicelsius;
        }
    }
    return peak;
}

// Tells one table from another: a restart after a power cut must not go on with another firing.
// FNV-1a over what is played; names and jobs don't count.
constexpr std::uint32_t fingerprint(const Table& table) {
    std::uint32_t hash = 2166136261u;
    const auto add = [&hash](std::int64_t value) {
        auto bits = static_cast<std::uint64_t>(value);
        for (int i = 0; i < 8; ++i) {
            hash = (hash ^ static_cast<std::uint32_t>(bits & 0xff)) * 16777619u;
            bits >>= 8;
        }
    };
    add(table.start_millicelsius);
    add(table.ceiling_millicelsius);
    add(table.delay_ms);
    add(table.segment_count);
    for (std::uint16_t i = 0; i < table.segment_count; ++i) {
        const Segment& segment = table.segments[i];
        add(static_cast<std::int64_t>(segment.kind));
        add(segment.to_millicelsius);
        add(segment.duration_ms);
        add(segment.waiting_within_millikelvin);
        add(segment.phase);
    }
    return hash;
}

} // namespace fettle::player
