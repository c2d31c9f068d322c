// Pieces of a line of a log: fields between delimiters, numbers, times. Blank-separated fields may
// have several blanks between them. No locale, no heap.
#pragma once

#include "runtime/log/log_reading.h"

#include <cstdint>
#include <optional>
#include <string_view>

namespace fettle {

inline constexpr char no_delimiter = '\0'; // one column

std::string_view trimmed(std::string_view text); // blanks and one pair of quotes taken off

// Takes fields off the front of a line. Quoted fields may hold the delimiter.
class LineFields {
  public:
    LineFields(std::string_view line, char delimiter);
    bool next(std::string_view& field); // false: there are no more; the field comes trimmed

  private:
    std::string_view rest_;
    char delimiter_;
    bool more_ = true;
};

struct FieldNumber {
    double value = 0;
    std::optional<LogUnit> unit; // written behind it: 20.5C, 20.5 °F
};

// The whole field as a number, nothing if it is none. `decimal_comma`: 20,5 in place of 20.5.
std::optional<FieldNumber> read_number(std::string_view field, bool decimal_comma);

enum class TimeForm : std::uint8_t {
    number,    // in a unit of its own
    clock,     // h:mm or h:mm:ss: of the day, or since the start
    date,      // without a time of day: the next column has it
    date_time, // both
};

struct FieldTime {
    TimeForm form = TimeForm::number;
    // `number`: as it stands. Otherwise seconds; of dates since 1970-01-01 00:00 by its clock.
    double value = 0;
    std::optional<double> zone_s; // what the clock is ahead of UTC, where it is written
    // Of a date such as 03/04/2026: which way round it can be read.
    bool day_first_possible = true;
    bool month_first_possible = true;
    bool two_ways = false; // written with the year last
};

std::optional<FieldTime> read_time(std::string_view field, bool decimal_comma, bool day_first);

// Days from 1970-01-01 in the Gregorian calendar (H. Hinnant, days_from_civil; public domain).
std::int64_t days_since_1970(int year, unsigned month, unsigned day);

struct CalendarDate {
    int year = 1970;
    unsigned month = 1, day = 1, hour = 0, minute = 0;
};
CalendarDate calendar_date(double seconds_since_1970);

} // namespace fettle
