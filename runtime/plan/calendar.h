// Days, clocks on the wall, and the zone whose clock it is. A moment is a whole minute since
// 1970-01-01 00:00 UTC. Nothing here asks what time it is.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace fettle {

using Moment = std::int64_t;

struct Date {
    int year = 1970, month = 1, day = 1;
    bool operator==(const Date&) const = default;
};
// Of the Gregorian calendar, from 1970 to 2999.
bool exists(Date date);
std::int64_t days_since_1970(Date date);
Date date_of_day(std::int64_t days_since_1970);
int day_of_week(std::int64_t days_since_1970); // 0: Monday

// What calendar and clock on the wall show.
struct WallTime {
    Date date;
    int minute = 0; // of the day, 0 to 1439
    bool operator==(const WallTime&) const = default;
};

// Where a zone's clock changes by a rule for ever ("the last Sunday in October").
struct YearlyChange {
    enum class Form : std::uint8_t {
        weekday_of_month, // day_of_week `weekday` (0: Sunday), its `week`th; 5: the last
        day_without_leap, // 1 to 365, 29 February is never counted
        day_of_year,      // 0 to 365
    } form = Form::weekday_of_month;
    int month = 1, week = 1, weekday = 0, day = 0;
    int second = 2 * 3600; // of that day, by the clock before the change; may lie outside the day
};

// How far the clock on the wall is ahead of UTC, in seconds, and when that changes.
struct Zone {
    std::string name; // "Europe/London"; empty: a clock that never changes
    struct Change {
        std::int64_t at_s = 0; // UTC
        int offset_s = 0;      // from then on
    };
    int first_offset_s = 0;
    std::vector<Change> changes; // in order
    // After the last change: the same for ever, or two changes a year.
    struct Rule {
        int winter_offset_s = 0, summer_offset_s = 0;
        YearlyChange to_summer, to_winter;
    };
    std::optional<int> last_offset_s;
    std::optional<Rule> rule;
};

// Reads a file of time zone data (RFC 8536, versions 1 to 4). Nothing: it is none, or damaged.
std::optional<Zone> read_zone(std::string_view bytes, std::string name);

int offset_s_at(const Zone& zone, Moment moment);
WallTime wall_time(const Zone& zone, Moment moment);

// When the wall shows a time: once; never, where the clock is put forward over it; or twice, where
// it is put back. In order.
struct Moments {
    int count = 0;
    Moment first = 0, second = 0;
};
Moments moments_of(const Zone& zone, const WallTime& time);

// The next change of the clock after a moment and before another.
struct ClockChange {
    Moment at = 0;
    int by_minutes = 0; // above 0: forward
};
std::optional<ClockChange> next_clock_change(const Zone& zone, Moment after, Moment before);

// "2026-12-04" and "08:00"; nothing for what is none.
std::optional<Date> read_date(std::string_view text);
std::optional<int> read_minute_of_day(std::string_view text);

} // namespace fettle
