// Reads time zone data: RFC 8536, "The Time Zone Information Format". The second block (64 bit)
// where there is one, and the line behind it with the rule for all later years (section 3.3, as
// POSIX has it for TZ).
#include "runtime/plan/calendar.h"

namespace fettle {

namespace {

// Bytes to be read one after the other; past the end everything is 0 and `ok` false.
struct Bytes {
    std::string_view rest;
    bool ok = true;

    std::string_view take(std::size_t size) {
        if (size > rest.size()) {
            ok = false;
            rest = {};
            return {};
        }
        const std::string_view taken = rest.substr(0, size);
        rest.remove_prefix(size);
        return taken;
    }
    std::int64_t number(std::size_t size) {
        std::uint64_t value = 0;
        const std::string_view bytes = take(size);
        for (const char byte : bytes) {
            value = value << 8 | static_cast<unsigned char>(byte);
        }
        if (!bytes.empty() && size < 8 && (static_cast<unsigned char>(bytes[0]) & 0x80) != 0) {
            value |= ~0ULL << (8 * size);
        }
        return static_cast<std::int64_t>(value);
    }
    std::size_t count() { return static_cast<std::size_t>(number(4)); }
};

struct Counts {
    std::size_t ut, standard, leap, time, type, letters;

    // Of the data behind the header, with times of so many bytes.
    std::size_t size(std::size_t bytes) const {
        return time * bytes + time + type * 6 + letters + leap * (bytes + 4) + standard + ut;
    }
};

bool read_header(Bytes& bytes, char& version, Counts& counts) {
    if (bytes.take(4) != "TZif") {
        return false;
    }
    const std::string_view v = bytes.take(1);
    version = v.empty() ? '\0' : v[0];
    bytes.take(15);
    counts = {bytes.count(), bytes.count(), bytes.count(),
              bytes.count(), bytes.count(), bytes.count()};
    constexpr std::size_t plenty = 100'000;
    return bytes.ok && counts.time < plenty && counts.type >= 1 && counts.type <= 256 &&
           counts.letters < plenty && counts.leap < plenty && counts.ut <= counts.type &&
           counts.standard <= counts.type;
}

bool is_possible(std::int64_t offset_s) {
    return offset_s > -93'600 && offset_s < 93'600;
}

bool read_changes(Bytes& bytes, const Counts& counts, std::size_t size, Zone& zone) {
    std::vector<std::int64_t> times;
    for (std::size_t i = 0; i < counts.time; ++i) {
        times.push_back(bytes.number(size));
        if (i > 0 && times[i] <= times[i - 1]) {
            return false;
        }
    }
    const std::string_view types = bytes.take(counts.time);
    std::vector<int> offsets;
    for (std::size_t i = 0; i < counts.type; ++i) {
        const std::int64_t offset = bytes.number(4);
        bytes.take(2);
        if (!is_possible(offset)) {
            return false;
        }
        offsets.push_back(static_cast<int>(offset));
    }
    bytes.take(counts.letters + counts.leap * (size + 4) + counts.standard + counts.ut);
    if (!bytes.ok) {
        return false;
    }
    zone.first_offset_s = offsets[0];
    for (std::size_t i = 0; i < counts.time; ++i) {
        const auto type = static_cast<unsigned char>(types[i]);
        if (type >= offsets.size()) {
            return false;
        }
        zone.changes.push_back({times[i], offsets[type]});
    }
    return true;
}

// --- the line with the rule ---

bool take(std::string_view& text, char sign) {
    if (text.empty() || text[0] != sign) {
        return false;
    }
    text.remove_prefix(1);
    return true;
}

// A number without a sign; nothing: there is none.
std::optional<int> take_number(std::string_view& text) {
    int value = 0;
    std::size_t digits = 0;
    while (digits < text.size() && digits < 5 && text[digits] >= '0' && text[digits] <= '9') {
        value = value * 10 + (text[digits] - '0');
        ++digits;
    }
    text.remove_prefix(digits);
    return digits == 0 ? std::nullopt : std::optional<int>(value);
}

// "GMT", "<+0330>".
bool take_name(std::string_view& text) {
    if (take(text, '<')) {
        const std::size_t end = text.find('>');
        if (end == std::string_view::npos) {
            return false;
        }
        text.remove_prefix(end + 1);
        return true;
    }
    std::size_t length = 0;
    while (length < text.size() && ((text[length] | 0x20) >= 'a' && (text[length] | 0x20) <= 'z')) {
        ++length;
    }
    text.remove_prefix(length);
    return length >= 3;
}

// "-3:30:15", in seconds.
std::optional<int> take_time(std::string_view& text) {
    const bool negative = take(text, '-');
    if (!negative) {
        take(text, '+');
    }
    int seconds = 0;
    for (const int unit : {3600, 60, 1}) {
        if (unit != 3600 && !take(text, ':')) {
            break;
        }
        const auto number = take_number(text);
        if (!number || *number > (unit == 3600 ? 167 : 59)) {
            return std::nullopt;
        }
        seconds += *number * unit;
    }
    return negative ? -seconds : seconds;
}

std::optional<YearlyChange> take_change(std::string_view& text) {
    YearlyChange change;
    if (!take(text, ',')) {
        return std::nullopt;
    }
    if (take(text, 'M')) {
        const auto month = take_number(text);
        const bool first_dot = take(text, '.');
        const auto week = take_number(text);
        const bool second_dot = take(text, '.');
        const auto weekday = take_number(text);
        if (!month || !week || !weekday || !first_dot || !second_dot || *month < 1 || *month > 12 ||
            *week < 1 || *week > 5 || *weekday > 6) {
            return std::nullopt;
        }
        change.month = *month;
        change.week = *week;
        change.weekday = *weekday;
    } else {
        const bool without_leap = take(text, 'J');
        const auto day = take_number(text);
        if (!day || *day > 365 || (without_leap && *day < 1)) {
            return std::nullopt;
        }
        change.form =
            without_leap ? YearlyChange::Form::day_without_leap : YearlyChange::Form::day_of_year;
        change.day = *day;
    }
    if (take(text, '/')) {
        const auto time = take_time(text);
        if (!time) {
            return std::nullopt;
        }
        change.second = *time;
    }
    return change;
}

// "GMT0BST,M3.5.0/1,M10.5.0". Offsets there are west of Greenwich. False: it can't be read.
bool read_rule(std::string_view text, Zone& zone) {
    if (text.empty()) {
        return true;
    }
    if (!take_name(text)) {
        return false;
    }
    const auto winter = take_time(text);
    if (!winter) {
        return false;
    }
    if (text.empty()) {
        zone.last_offset_s = -*winter;
        return true;
    }
    if (!take_name(text)) {
        return false;
    }
    Zone::Rule rule;
    rule.winter_offset_s = -*winter;
    rule.summer_offset_s = -*winter + 3600;
    if (!text.empty() && text[0] != ',') {
        const auto summer = take_time(text);
        if (!summer) {
            return false;
        }
        rule.summer_offset_s = -*summer;
    }
    const auto to_summer = take_change(text);
    const auto to_winter = to_summer ? take_change(text) : std::nullopt;
    if (!to_winter || !text.empty()) {
        return false;
    }
    rule.to_summer = *to_summer;
    rule.to_winter = *to_winter;
    zone.rule = rule;
    return true;
}

} // namespace

std::optional<Zone> read_zone(std::string_view text, std::string name) {
    Bytes bytes{text};
    char version = '\0';
    Counts counts{};
    if (!read_header(bytes, version, counts)) {
        return std::nullopt;
    }
    Zone zone;
    zone.name = std::move(name);
    if (version == '\0') {
        return read_changes(bytes, counts, 4, zone) ? std::optional(zone) : std::nullopt;
    }
    bytes.take(counts.size(4));
    if (!read_header(bytes, version, counts) || !read_changes(bytes, counts, 8, zone) ||
        bytes.take(1) != "\n") {
        return std::nullopt;
    }
    const std::size_t end = bytes.rest.find('\n');
    if (end == std::string_view::npos || !read_rule(bytes.rest.substr(0, end), zone)) {
        return std::nullopt;
    }
    return zone;
}

} // namespace fettle
