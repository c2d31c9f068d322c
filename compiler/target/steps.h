// The table of a controller: what a person keys in. Made by make_steps.h; texts are views of the
// schedule, of the firing's name, or of the KeptTexts that were given.
#pragma once

#include "compiler/units/quantity.h"
#include "runtime/schedule/schedule.h"

#include <cstdint>
#include <optional>
#include <string_view>
#include <vector>

namespace fettle {

// What one step is.
enum class StepForm : std::uint8_t {
    duration_target,  // a duration, and the temperature to be at when it ends
    rate_target_soak, // a rate, a temperature, and a soak there
    rate_or_soak,     // a climb or fall (rate, temperature), or a soak
};

struct StepRow {
    std::uint32_t step = 1;             // from 1 in its program
    double target = 0;                  // in Steps::scale
    std::optional<double> duration_min; // duration_target; nothing: as fast as it can
    // The other forms, in Steps::scale, always above 0; nothing: as fast as it can, or a soak of
    // `rate_or_soak`.
    std::optional<double> rate_per_h;
    std::optional<double> soak_min; // the other forms; nothing: a climb or fall of `rate_or_soak`
    // `free`: the controller lets the kiln fall to the target by itself and then goes on.
    SegmentKind kind = SegmentKind::ramp;
    std::vector<std::uint32_t> segments;  // that it stands for, from 0
    std::uint32_t soak_segments = 0;      // how many of those, at the end, `soak_min` stands for
    std::optional<double> waiting_within; // degrees of Steps::scale
    std::string_view phase;
    // What the step does to the curve: for people; not in JSON.
    double from_c = 20;
    double to_c = 20;
    // From the start of the firing, without its delay; with estimates of the kiln model where a
    // step takes its own time; nothing from the first step on whose time nobody knows.
    std::optional<double> starts_s;
    std::optional<double> ends_s;
    bool ends_estimated = false; // an estimate stands in `ends_s`
};

struct StepProgram {
    std::string_view name;
    double start_c = 20;
    std::vector<StepRow> rows;
    std::string_view then;    // the program that continues this one; empty: it is the last
    std::string_view between; // what to do before that one is started
    // The largest from the segments, at their ends: by rounding, and by what was simplified.
    double deviation_c = 0;
};

// A step of a table: the one where a wrong key costs most.
struct StepPlace {
    std::uint32_t program = 0; // from 0
    std::uint32_t row = 0;     // from 0
    std::string_view why;      // "10C more here is half a cone more"
};

// Segments after the last row (`free`, `opened`) are the kiln's own cooling: the program has ended.
struct Steps {
    StepForm form = StepForm::duration_target;
    Scale scale = Scale::celsius;
    double time_step_s = 60;
    double temperature_step = 1; // degrees of `scale`
    double rate_step = 1;        // degrees of `scale` an hour
    std::optional<std::uint32_t> max_steps;
    double delay_s = 0; // to enter before the first step, as rounded
    std::vector<StepProgram> programs;
    bool simplified = false;           // fewer steps than segments ask for
    std::optional<double> deviation_s; // when the largest deviation is, from the start
    std::optional<double> cones_off;   // difference of heat work from the schedule's, in cones
    std::optional<StepPlace> most_costly;
};

} // namespace fettle
