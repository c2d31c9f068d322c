#include "runtime/log/log_fields.h"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <cstring>

namespace fettle {
namespace {

bool is_blank(char c) {
    return c == ' ' || c == '\t' || c == '\r';
}

bool is_digit(char c) {
    return c >= '0' && c <= '9';
}

struct UnitMark {
    std::string_view mark;
    LogUnit unit;
};
constexpr UnitMark unit_marks[] = {
    {"C", LogUnit::celsius},
    {"\xC2\xB0"
     "C",
     LogUnit::celsius},
    {"\xB0"
     "C",
     LogUnit::celsius},
    {"F", LogUnit::fahrenheit},
    {"\xC2\xB0"
     "F",
     LogUnit::fahrenheit},
    {"\xB0"
     "F",
     LogUnit::fahrenheit},
    {"mV", LogUnit::millivolts},
};

std::optional<LogUnit> unit_of_mark(std::string_view mark) {
    for (const UnitMark& row : unit_marks) {
        if (row.mark == mark)
            return row.unit;
    }
    return std::nullopt;
}

// Reads the parts of a time off the front of a text.
struct Cursor {
    std::string_view rest;

    bool take(char c) {
        if (rest.empty() || rest.front() != c)
            return false;
        rest.remove_prefix(1);
        return true;
    }
    // Up to `most` digits; how many there were.
    std::size_t number(unsigned& value, std::size_t most) {
        std::size_t digits = 0;
        value = 0;
        while (digits < most && digits < rest.size() && is_digit(rest[digits]))
            value = 10 * value + static_cast<unsigned>(rest[digits++] - '0');
        rest.remove_prefix(digits);
        return digits;
    }
    void blanks() {
        while (!rest.empty() && is_blank(rest.front()))
            rest.remove_prefix(1);
    }
};

bool take_ignoring_case(Cursor& cursor, std::string_view word) {
    if (cursor.rest.size() < word.size())
        return false;
    for (std::size_t i = 0; i < word.size(); ++i) {
        if ((cursor.rest[i] | 0x20) != word[i])
            return false;
    }
    cursor.rest.remove_prefix(word.size());
    return true;
}

// h:mm, h:mm:ss, h:mm:ss.fff, with AM or PM behind it.
bool take_clock(Cursor& cursor, double& seconds) {
    unsigned hour = 0, minute = 0, second = 0;
    if (cursor.number(hour, 5) == 0 || !cursor.take(':') || cursor.number(minute, 2) != 2)
        return false;
    double fraction = 0;
    if (cursor.take(':')) {
        if (cursor.number(second, 2) != 2)
            return false;
        if (cursor.take('.') || cursor.take(',')) {
            double place = 0.1;
            while (!cursor.rest.empty() && is_digit(cursor.rest.front())) {
                fraction += place * (cursor.rest.front() - '0');
                place /= 10;
                cursor.rest.remove_prefix(1);
            }
        }
    }
    cursor.blanks();
    const bool afternoon = take_ignoring_case(cursor, "pm");
    if (afternoon || take_ignoring_case(cursor, "am"))
        hour = hour % 12 + (afternoon ? 12 : 0);
    if (minute > 59 || second > 60)
        return false;
    seconds = 3600.0 * hour + 60.0 * minute + second + fraction;
    return true;
}

bool take_date(Cursor& cursor, FieldTime& time, bool day_first) {
    unsigned first = 0, second = 0, third = 0;
    const std::size_t digits = cursor.number(first, 4);
    if (digits == 0 || digits == 3 || cursor.rest.empty())
        return false;
    const char sign = cursor.rest.front();
    if ((sign != '-' && sign != '/' && sign != '.') || !cursor.take(sign) ||
        cursor.number(second, 2) == 0 || !cursor.take(sign))
        return false;
    const std::size_t last = cursor.number(third, 4);
    unsigned year = first, month = second, day = third;
    if (digits == 4) {
        if (last == 0 || last > 2)
            return false;
    } else {
        if (last != 4 && last != 2)
            return false;
        year = last == 2 ? 2000 + third : third;
        time.two_ways = true;
        time.day_first_possible = second >= 1 && second <= 12;
        time.month_first_possible = first >= 1 && first <= 12;
        day = day_first ? first : second;
        month = day_first ? second : first;
    }
    if (month < 1 || month > 12 || day < 1 || day > 31 || year < 1900) {
        // Written the other way round: the layout may still find that out.
        if (!time.two_ways || (!time.day_first_possible && !time.month_first_possible))
            return false;
        std::swap(day, month);
        if (day < 1 || day > 31 || year < 1900)
            return false;
    }
    time.value = 86400.0 * static_cast<double>(days_since_1970(static_cast<int>(year), month, day));
    return true;
}

void take_zone(Cursor& cursor, FieldTime& time) {
    if (cursor.take('Z')) {
        time.zone_s = 0;
        return;
    }
    if (cursor.rest.empty() || (cursor.rest.front() != '+' && cursor.rest.front() != '-'))
        return;
    const double sign = cursor.rest.front() == '-' ? -1 : 1;
    cursor.rest.remove_prefix(1);
    unsigned hour = 0, minute = 0;
    if (cursor.number(hour, 2) == 2) {
        cursor.take(':');
        cursor.number(minute, 2);
        time.zone_s = sign * (3600.0 * hour + 60.0 * minute);
    }
}

} // namespace

std::string_view trimmed(std::string_view text) {
    const auto blanks_off = [&] {
        while (!text.empty() && is_blank(text.front()))
            text.remove_prefix(1);
        while (!text.empty() && is_blank(text.back()))
            text.remove_suffix(1);
    };
    blanks_off();
    if (text.size() >= 2 && text.front() == '"' && text.back() == '"') {
        text = text.substr(1, text.size() - 2);
        blanks_off();
    }
    return text;
}

LineFields::LineFields(std::string_view line, char delimiter)
    : rest_(delimiter == ' ' ? trimmed(line) : line), delimiter_(delimiter) {}

bool LineFields::next(std::string_view& field) {
    if (!more_)
        return false;
    std::size_t from = 0;
    if (!rest_.empty() && rest_.front() == '"') {
        const std::size_t closing = rest_.find('"', 1);
        from = closing == std::string_view::npos ? 0 : closing;
    }
    const std::size_t end =
        delimiter_ == no_delimiter ? std::string_view::npos : rest_.find(delimiter_, from);
    field = trimmed(rest_.substr(0, end));
    if (end == std::string_view::npos) {
        more_ = false;
        return true;
    }
    rest_.remove_prefix(end + 1);
    if (delimiter_ == ' ') {
        while (!rest_.empty() && is_blank(rest_.front()))
            rest_.remove_prefix(1);
    }
    return true;
}

std::optional<FieldNumber> read_number(std::string_view field, bool decimal_comma) {
    char with_point[32];
    const char* begin = field.data();
    const char* end = begin + field.size();
    if (decimal_comma) {
        const std::size_t comma = field.find(',');
        if (field.find('.') != std::string_view::npos)
            return std::nullopt;
        if (comma != std::string_view::npos) {
            if (field.size() > sizeof with_point)
                return std::nullopt;
            std::memcpy(with_point, field.data(), field.size());
            with_point[comma] = '.';
            begin = with_point;
            end = begin + field.size();
        }
    }
    if (begin != end && *begin == '+')
        ++begin;
    FieldNumber number;
    const auto [stop, problem] = std::from_chars(begin, end, number.value);
    if (problem != std::errc() || !std::isfinite(number.value))
        return std::nullopt;
    if (stop != end) {
        number.unit = unit_of_mark(trimmed({stop, static_cast<std::size_t>(end - stop)}));
        if (!number.unit)
            return std::nullopt;
    }
    return number;
}

std::optional<FieldTime> read_time(std::string_view field, bool decimal_comma, bool day_first) {
    FieldTime time;
    if (const auto number = read_number(field, decimal_comma); number && !number->unit) {
        time.value = number->value;
        return time;
    }
    Cursor cursor{field};
    if (Cursor whole{field}; take_clock(whole, time.value) && whole.rest.empty()) {
        time.form = TimeForm::clock;
        return time;
    }
    time.value = 0;
    if (!take_date(cursor, time, day_first))
        return std::nullopt;
    time.form = TimeForm::date;
    if (cursor.rest.empty())
        return time;
    if (!cursor.take('T') && !cursor.take(','))
        cursor.blanks();
    cursor.blanks();
    double of_day = 0;
    if (!take_clock(cursor, of_day))
        return std::nullopt;
    cursor.blanks();
    take_zone(cursor, time);
    if (!cursor.rest.empty())
        return std::nullopt;
    time.form = TimeForm::date_time;
    time.value += of_day;
    return time;
}

std::int64_t days_since_1970(int year, unsigned month, unsigned day) {
    year -= month <= 2;
    const std::int64_t era = (year >= 0 ? year : year - 399) / 400;
    const auto of_era = static_cast<std::int64_t>(year) - era * 400;
    const std::int64_t of_year = (153 * (month + (month > 2 ? -3 : 9)) + 2) / 5 + day - 1;
    return era * 146097 + of_era * 365 + of_era / 4 - of_era / 100 + of_year - 719468;
}

CalendarDate calendar_date(double seconds_since_1970) {
    const double days = std::floor(seconds_since_1970 / 86400);
    const double of_day = seconds_since_1970 - 86400 * days;
    const std::int64_t z = static_cast<std::int64_t>(days) + 719468;
    const std::int64_t era = (z >= 0 ? z : z - 146096) / 146097;
    const std::int64_t of_era = z - era * 146097;
    const std::int64_t year_of_era =
        (of_era - of_era / 1460 + of_era / 36524 - of_era / 146096) / 365;
    const std::int64_t of_year = of_era - (365 * year_of_era + year_of_era / 4 - year_of_era / 100);
    const std::int64_t shifted = (5 * of_year + 2) / 153;
    CalendarDate date;
    date.day = static_cast<unsigned>(of_year - (153 * shifted + 2) / 5 + 1);
    date.month = static_cast<unsigned>(shifted < 10 ? shifted + 3 : shifted - 9);
    date.year = static_cast<int>(year_of_era + era * 400) + (date.month <= 2 ? 1 : 0);
    date.hour = static_cast<unsigned>(of_day / 3600);
    date.minute = static_cast<unsigned>(of_day / 60) % 60;
    return date;
}

} // namespace fettle
