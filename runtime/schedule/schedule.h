// The waist of the house: a firing as a start and a flat list of segments. The compiler makes it;
// everything that fires, simulates, prints or judges takes it. Knows nothing of the language.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace fettle {

enum class SegmentKind : std::uint8_t {
    ramp,   // a straight climb or fall at a controlled rate
    soak,   // stays at one temperature
    full,   // as fast as the kiln can climb; takes its own time
    free,   // shut and left to cool; takes its own time
    opened, // cooled with the kiln open, or ware drawn hot; takes its own time
};

enum class Atmosphere : std::uint8_t { unknown, oxidation, neutral, reduction };
enum class Vent : std::uint8_t { unknown, open, propped, closed };

// A hand control of the kiln (damper, gas pressure, dial) and what it is set to, as printed.
struct ControlSetting {
    std::string control;
    std::string value;
    bool operator==(const ControlSetting&) const = default;
};

// What holds from one segment on until it is changed. Segments share states (Segment::state).
struct KilnState {
    Atmosphere atmosphere = Atmosphere::unknown;
    Vent vent = Vent::unknown;
    std::vector<ControlSetting> settings;
    bool operator==(const KilnState&) const = default;
};

// A line of source that a segment came from; `file` indexes Schedule::files.
struct Origin {
    std::uint32_t file = 0;
    std::uint32_t line = 0; // from 1
    bool operator==(const Origin&) const = default;
};

// A place on an estimated course: time from the segment's start.
struct EstimatedPoint {
    double time_s = 0;
    double temperature_c = 0;
};

struct Segment {
    SegmentKind kind = SegmentKind::ramp;
    double from_c = 20;
    double to_c = 20;
    // Nothing for `full`, `free` and `opened`: the kiln decides. Otherwise above 0.
    std::optional<double> duration_s;
    // What the kiln model expects where duration_s has nothing; nothing where no kiln is known.
    std::optional<double> estimated_duration_s;
    // Its course in that time, from its start to its end, straight between the points; empty where
    // it is taken as straight, or nothing is known.
    std::vector<EstimatedPoint> estimated_course;
    // The clock runs only while the kiln is within this many kelvin of the target.
    std::optional<double> waiting_within_k;
    // The cone that the target was solved for, as it is written ("06", "5.5"); empty: none.
    std::string to_cone;
    std::uint32_t phase = 0;        // index in Schedule::phases
    std::uint32_t state = 0;        // index in Schedule::states
    std::vector<std::string> notes; // for the reader
    std::vector<std::string> jobs;  // for the person who fires, at the start of this segment
    std::vector<Origin> trail;      // innermost line first

    // Signed, K/h; 0 for a soak; nothing where the duration is the kiln's own.
    std::optional<double> rate_k_per_h() const {
        if (kind == SegmentKind::soak) {
            return 0.0;
        }
        if (!duration_s) {
            return std::nullopt;
        }
        return (to_c - from_c) / *duration_s * 3600.0;
    }
};

struct Phase {
    std::string name;
    std::string title;
    std::string about;
};

struct Schedule {
    double start_c = 20; // where the kiln is when the program starts
    double delay_s = 0;  // wait before the first segment
    std::vector<Phase> phases;
    std::vector<KilnState> states;
    std::vector<std::string> files; // paths, for Origin
    std::vector<Segment> segments;  // segment n+1 starts where n ends
};

} // namespace fettle
