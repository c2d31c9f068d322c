// Reads fired logs: comma-separated or any other columns of text, as loggers and kiln pads write
// them.
//
//     LogReader reader(options);
//     while (more) reader.feed(bytes);       // any pieces, cut anywhere
//     const LogReading reading = reader.finish();
//
// What the log does not say is decided from its first lines and told (LogAssumption). Memory does
// not grow with the log: at most `most_points` are kept of each sensor, as means over equal times
// where there are more. No file is touched and nothing is thrown but std::bad_alloc.
//
// What is understood:
// - columns between commas, semicolons, tabs, bars or blanks; fields may be in quotes; a decimal
//   comma where commas are not between the columns
// - lines of remarks (#), of words before the header, and of words between readings
// - times as dates with a time of day (2026-03-07T18:05:00, 07/03/2026 18:05, in one column or
//   two), times of day that pass midnight, hours and minutes since the start (1:02:03), or numbers
//   of seconds, minutes or hours
// - degrees Celsius, Fahrenheit or kelvin, or millivolts of a thermocouple
// - several sensors; set points and powers are told apart by the words of the header
#pragma once

#include "runtime/log/log_reading.h"

#include <memory>
#include <optional>
#include <string>
#include <string_view>

namespace fettle {

struct LogOptions {
    std::optional<LogUnit> unit; // of every sensor; nothing: by the header, or the readings
    std::optional<ThermocoupleType> thermocouple; // of readings in millivolts
    double junction_c = 0; // of the other junction; 0: what made the log has added it already
    std::optional<double> time_unit_s; // of times that are plain numbers
    std::optional<double> interval_s;  // of readings without times
    std::optional<bool> day_first;     // 03/04 is the third of April
    std::size_t most_points = 65536;
};

class LogReader {
  public:
    explicit LogReader(const LogOptions& options = {});
    LogReader(LogReader&&) noexcept;
    ~LogReader();

    void feed(std::string_view bytes);
    LogReading finish(); // once

  private:
    struct Inside;
    std::unique_ptr<Inside> inside_;
};

LogReading read_log(std::string_view text, const LogOptions& options = {});

} // namespace fettle
