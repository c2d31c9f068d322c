// A fired log as it was read: time and temperature of each sensor, what was assumed on the way, and
// what is odd about it. Facts only: compiler/output/log_words.h has the sentences.
#pragma once

#include "runtime/log/thermocouple.h"

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace fettle {

enum class LogUnit : std::uint8_t { celsius, fahrenheit, kelvin, millivolts };

// One thing that the log does not say and the reader decided.
struct LogAssumption {
    enum class Kind : std::uint8_t {
        delimiter,       // `text`: the sign between the columns
        decimal_comma,   //
        no_header,       // the first line holds readings
        time_column,     // `text`: its name
        time_unit,       // `value`: seconds in one unit of the time column
        equal_intervals, // no times: `value` seconds from reading to reading
        day_first,       // 03/04 is the third of April
        month_first,     // 03/04 is the fourth of March
        midnight_passed, // `value`: how often the clock went on from the start of the day
        clock_set_back,  // `line`: an hour was taken off; the end of summer time
        unit,            // of sensor `sensor`: `unit`
        junction,        // millivolts of `sensor`: the other junction at `value` C
        averaged,        // more than the most points: means over `value` seconds are kept
        column_left_out, // `text`: its name; it is no temperature (a set point, a power)
    } kind;
    std::string text = {};
    double value = 0;
    std::size_t line = 0;
    std::size_t sensor = 0;
    LogUnit unit = LogUnit::celsius;
};

// What is odd. Those before `gap` leave nothing to judge.
struct LogProblem {
    enum class Kind : std::uint8_t {
        empty,          // no line with a reading in it
        not_text,       // bytes that are no text (a spreadsheet file, UTF-16)
        no_time,        // no column of times and no interval given
        no_temperature, // no column of temperatures
        line_too_long,  // `line`
        type_needed,    // millivolts, and no type of thermocouple
        no_span,        // all readings at one time; or less than a minute in all
        unit_unclear,   // never above `value` in the log's own unit: no degrees of a firing
        // The sensor is of no use:
        no_readings,   // `sensor` has no number in any line
        all_one_value, // `sensor` stays at `value` C
        open_circuit,  // `sensor` mostly gives no temperature, as a broken lead does
        reversed,      // `sensor` falls when the kiln is heated, to `value` C
        // The log can be judged, and the reader should know:
        gap,              // `value` seconds without a reading, from `time_s`
        repeated_time,    // `count` readings at the time of the one before, left out
        backward_time,    // `count` readings earlier than the one before, left out; first on `line`
        bad_line,         // `count` lines that are no readings, left out; the first is `line`
        missing_readings, // `count` readings of `sensor` are no number
        jump,             // `sensor` changes by `value` K from reading to reading, first on `line`
    } kind;
    std::size_t line = 0; // from 1
    std::size_t count = 0;
    std::size_t sensor = 0;
    double time_s = 0;
    double value = 0;
};

// Whether the whole log can't be judged because of it, or one sensor of it.
constexpr bool spoils_the_log(LogProblem::Kind kind) {
    return kind <= LogProblem::Kind::unit_unclear;
}
constexpr bool spoils_the_sensor(LogProblem::Kind kind) {
    return kind >= LogProblem::Kind::no_readings && kind <= LogProblem::Kind::reversed;
}

struct LogSensor {
    std::string name;                // as the header has it; "sensor 1" where there is none
    LogUnit unit = LogUnit::celsius; // that the log has it in
    // One for each of LogReading::time_s. Not a number where there is none.
    std::vector<double> celsius;
    double highest_c = 0; // of single readings, spikes included
    double lowest_c = 0;
    bool usable = true;
};

struct LogReading {
    // Seconds from the first reading, rising. Where the log has more readings than the most points,
    // each point is the mean of those of a short stretch, at the mean of their times.
    std::vector<double> time_s;
    std::vector<LogSensor> sensors;
    std::size_t rows = 0; // readings in the log
    // Of the first reading, in seconds since 1970-01-01 00:00 by the clock of the log (no time
    // zone); nothing where the log has no dates.
    std::optional<double> first_date_s;
    double typical_interval_s = 0; // the median of the log's own
    std::vector<LogAssumption> assumptions;
    std::vector<LogProblem> problems;

    bool judgeable() const; // nothing that spoils the log, and a usable sensor
    // The one to judge by: the first usable one that goes nearly as high as any (within a fifth);
    // nothing: there is none.
    std::optional<std::size_t> main_sensor() const;
};

} // namespace fettle
