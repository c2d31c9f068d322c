#include "runtime/plan/calendar.h"

#include <algorithm>
#include <charconv>

namespace fettle {

namespace {

constexpr std::int64_t seconds_per_day = 86'400;

std::int64_t floor_div(std::int64_t a, std::int64_t b) {
    return a / b - (a % b < 0 ? 1 : 0);
}

bool is_leap(int year) {
    return (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
}

int days_of_month(int year, int month) {
    constexpr int days[] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    return month == 2 && is_leap(year) ? 29 : days[month - 1];
}

// The day of a yearly change, in days since 1970.
std::int64_t day_of_change(const YearlyChange& change, int year) {
    const std::int64_t january = days_since_1970({year, 1, 1});
    switch (change.form) {
    case YearlyChange::Form::day_of_year: return january + change.day;
    case YearlyChange::Form::day_without_leap:
        return january + change.day - 1 + (is_leap(year) && change.day >= 60 ? 1 : 0);
    case YearlyChange::Form::weekday_of_month: break;
    }
    const std::int64_t first = days_since_1970({year, change.month, 1});
    const int weekday = (change.weekday + 6) % 7; // 0: Monday
    std::int64_t day = first + (weekday - day_of_week(first) + 7) % 7 + 7 * (change.week - 1);
    while (day >= first + days_of_month(year, change.month)) {
        day -= 7;
    }
    return day;
}

int offset_by_rule(const Zone::Rule& rule, std::int64_t utc_s) {
    const int year = date_of_day(floor_div(utc_s + rule.winter_offset_s, seconds_per_day)).year;
    // The changes of the years around it, since one may lie over the turn of a year.
    std::int64_t latest_s = INT64_MIN;
    int offset_s = rule.winter_offset_s;
    for (int y = year - 1; y <= year + 1; ++y) {
        const std::int64_t summer_s = day_of_change(rule.to_summer, y) * seconds_per_day +
                                      rule.to_summer.second - rule.winter_offset_s;
        const std::int64_t winter_s = day_of_change(rule.to_winter, y) * seconds_per_day +
                                      rule.to_winter.second - rule.summer_offset_s;
        if (summer_s <= utc_s && summer_s > latest_s) {
            latest_s = summer_s;
            offset_s = rule.summer_offset_s;
        }
        if (winter_s <= utc_s && winter_s > latest_s) {
            latest_s = winter_s;
            offset_s = rule.winter_offset_s;
        }
    }
    return offset_s;
}

} // namespace

bool exists(Date date) {
    return date.year >= 1970 && date.year <= 2999 && date.month >= 1 && date.month <= 12 &&
           date.day >= 1 && date.day <= days_of_month(date.year, date.month);
}

// Years begin in March here, so that the leap day is the last (a well-known way to count days).
std::int64_t days_since_1970(Date date) {
    const std::int64_t year = date.month > 2 ? date.year : date.year - 1;
    const std::int64_t era = floor_div(year, 400);
    const std::int64_t of_era = year - era * 400;
    const std::int64_t of_year =
        (153 * (date.month + (date.month > 2 ? -3 : 9)) + 2) / 5 + date.day - 1;
    return era * 146'097 + of_era * 365 + of_era / 4 - of_era / 100 + of_year - 719'468;
}

Date date_of_day(std::int64_t days) {
    const std::int64_t shifted = days + 719'468;
    const std::int64_t era = floor_div(shifted, 146'097);
    const std::int64_t of_era = shifted - era * 146'097;
    const std::int64_t year_of_era =
        (of_era - of_era / 1460 + of_era / 36'524 - of_era / 146'096) / 365;
    const std::int64_t of_year = of_era - (365 * year_of_era + year_of_era / 4 - year_of_era / 100);
    const std::int64_t month = (5 * of_year + 2) / 153;
    Date date;
    date.day = static_cast<int>(of_year - (153 * month + 2) / 5 + 1);
    date.month = static_cast<int>(month < 10 ? month + 3 : month - 9);
    date.year = static_cast<int>(year_of_era + era * 400 + (date.month <= 2 ? 1 : 0));
    return date;
}

int day_of_week(std::int64_t days) {
    return static_cast<int>((days % 7 + 7 + 3) % 7); // 1970-01-01 was a Thursday
}

int offset_s_at(const Zone& zone, Moment moment) {
    const std::int64_t utc_s = moment * 60;
    if (zone.changes.empty() || utc_s < zone.changes.front().at_s) {
        return zone.changes.empty() && zone.rule ? offset_by_rule(*zone.rule, utc_s)
                                                 : zone.first_offset_s;
    }
    if (utc_s >= zone.changes.back().at_s) {
        return zone.rule ? offset_by_rule(*zone.rule, utc_s)
                         : zone.last_offset_s.value_or(zone.changes.back().offset_s);
    }
    const auto after = std::upper_bound(
        zone.changes.begin(), zone.changes.end(), utc_s,
        [](std::int64_t s, const Zone::Change& change) { return s < change.at_s; });
    return std::prev(after)->offset_s;
}

WallTime wall_time(const Zone& zone, Moment moment) {
    const std::int64_t local = floor_div(moment * 60 + offset_s_at(zone, moment), 60);
    const std::int64_t day = floor_div(local, 24 * 60);
    return {date_of_day(day), static_cast<int>(local - day * 24 * 60)};
}

Moments moments_of(const Zone& zone, const WallTime& time) {
    const Moment as_utc = days_since_1970(time.date) * 24 * 60 + time.minute;
    Moments moments;
    // The offsets in force a day before and after; another one in between would change twice in
    // two days.
    const int before = offset_s_at(zone, as_utc - 24 * 60);
    const int after = offset_s_at(zone, as_utc + 24 * 60);
    for (const int offset : {std::max(before, after), std::min(before, after)}) {
        const Moment moment = as_utc - offset / 60;
        if (!(wall_time(zone, moment) == time) || (moments.count > 0 && moments.first == moment)) {
            continue;
        }
        (moments.count == 0 ? moments.first : moments.second) = moment;
        ++moments.count;
    }
    return moments;
}

std::optional<ClockChange> next_clock_change(const Zone& zone, Moment after, Moment before) {
    constexpr Moment stride = 24 * 60;
    for (Moment from = after; from < before; from += stride) {
        Moment low = from;
        Moment high = std::min(from + stride, before);
        const int offset = offset_s_at(zone, low);
        if (offset_s_at(zone, high) == offset) {
            continue;
        }
        while (high - low > 1) {
            const Moment middle = low + (high - low) / 2;
            (offset_s_at(zone, middle) == offset ? low : high) = middle;
        }
        return ClockChange{high, (offset_s_at(zone, high) - offset) / 60};
    }
    return std::nullopt;
}

std::optional<Date> read_date(std::string_view text) {
    if (text.size() != 10 || text[4] != '-' || text[7] != '-') {
        return std::nullopt;
    }
    Date date;
    const auto number = [&text](std::size_t from, std::size_t size, int& into) {
        const char* const end = text.data() + from + size;
        const auto [rest, bad] = std::from_chars(text.data() + from, end, into);
        return bad == std::errc() && rest == end && text[from] != '-';
    };
    if (!number(0, 4, date.year) || !number(5, 2, date.month) || !number(8, 2, date.day) ||
        !exists(date)) {
        return std::nullopt;
    }
    return date;
}

std::optional<int> read_minute_of_day(std::string_view text) {
    const std::size_t colon = text.find(':');
    if (colon == std::string_view::npos || colon == 0 || colon > 2 || text.size() != colon + 3) {
        return std::nullopt;
    }
    int parts[2] = {};
    const std::string_view words[] = {text.substr(0, colon), text.substr(colon + 1)};
    for (int i = 0; i < 2; ++i) {
        for (const char digit : words[i]) {
            if (digit < '0' || digit > '9') {
                return std::nullopt;
            }
            parts[i] = parts[i] * 10 + (digit - '0');
        }
    }
    if (parts[0] > 23 || parts[1] > 59) {
        return std::nullopt;
    }
    return parts[0] * 60 + parts[1];
}

} // namespace fettle
