// From the text of a literal to a quantity. Nearly every literal is a number and a spelling of the
// unit table; what is not (durations in parts, other compound units, mistakes) takes the long way.
#include "compiler/units/decimal.h"
#include "compiler/units/quantity.h"
#include "compiler/units/suggestion.h"
#include "compiler/units/unit_table.h"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <limits>

namespace fettle {

namespace {

using Result = std::variant<Quantity, LiteralProblem>;
using Kind = LiteralProblem::Kind;

constexpr double absolute_zero_c = -273.15;
constexpr std::size_t exact_digits = 15; // any number of so many digits is an exact double
constexpr std::size_t longest_unit = 64; // bytes; keeps the search short on any input

bool is_digit(char c) {
    return c >= '0' && c <= '9';
}

LiteralProblem problem(Kind kind, std::size_t begin, std::size_t end, std::string suggestion = {}) {
    return {kind, static_cast<std::uint32_t>(begin), static_cast<std::uint32_t>(end),
            std::move(suggestion)};
}

// A positive number as read: mantissa / 10^decimals.
struct Number {
    double mantissa = 0;
    double power = 1;      // 10^decimals
    std::size_t begin = 0; // of the digits
    std::size_t end = 0;
};

// For numbers of more digits than a double can hold: the nearest double, infinity past the largest.
double read_long_number(std::string_view digits) {
    double value = 0;
    const auto error = std::from_chars(digits.data(), digits.data() + digits.size(), value).ec;
    if (error != std::errc::result_out_of_range) {
        return value;
    }
    const std::string_view whole = digits.substr(0, digits.find('.'));
    return whole == "0" ? 0 : std::numeric_limits<double>::infinity();
}

// Reads "12" or "12.5" at `begin`; `end` equals `begin` where there are no digits.
Number read_number(std::string_view text, std::size_t begin) {
    std::uint64_t mantissa = 0;
    std::size_t at = begin;
    for (; at < text.size() && is_digit(text[at]); ++at) {
        mantissa = mantissa * 10 + static_cast<std::uint64_t>(text[at] - '0');
    }
    std::size_t digits = at - begin;
    std::size_t decimals = 0;
    if (digits > 0 && at + 1 < text.size() && text[at] == '.' && is_digit(text[at + 1])) {
        const std::size_t point = at++;
        for (; at < text.size() && is_digit(text[at]); ++at) {
            mantissa = mantissa * 10 + static_cast<std::uint64_t>(text[at] - '0');
        }
        decimals = at - point - 1;
        digits += decimals;
    }
    if (digits > exact_digits) {
        return {read_long_number(text.substr(begin, at - begin)), 1, begin, at};
    }
    // 2.50 is read as 2.5, so that it comes out the same to the last bit.
    for (; decimals > 0 && mantissa % 10 == 0; --decimals) {
        mantissa /= 10;
    }
    return {static_cast<double>(mantissa), powers_of_ten[decimals], begin, at};
}

bool has_leading_zero(std::string_view text, const Number& number) {
    return number.end - number.begin > 1 && text[number.begin] == '0' &&
           is_digit(text[number.begin + 1]);
}

// What follows a number is no unit but more of a number: "5.", "1.2.3", "12,5", "1e5" is not.
bool is_number_torn(std::string_view rest) {
    return !rest.empty() && (rest[0] == '.' || rest[0] == ',' || rest[0] == '_' || rest[0] == '\'');
}

// --- numbers that are none -----------------------------------------------------------------------

struct DashSlip {
    std::string_view written;
    std::string_view meant;
};
constexpr std::array dash_slips{DashSlip{"\u2212", "-"}, DashSlip{"\u2013", "-"},
                                DashSlip{"\u2014", "-"}, DashSlip{"\u2010", "-"},
                                DashSlip{"\u2011", "-"}, DashSlip{"+", ""}};

// The number that a torn one was meant to be, where only one can be meant: three digits after a
// comma may be thousands or thousandths.
std::string mended_number(std::string_view torn) {
    while (torn.size() > 1 && torn[0] == '0' && is_digit(torn[1])) {
        torn.remove_prefix(1);
    }
    std::string mended(torn.starts_with('.') ? "0" : "");
    mended += torn;
    if (mended.ends_with('.')) {
        mended.pop_back();
    }
    const std::size_t comma = mended.find_first_of(",_'");
    if (comma != std::string::npos) {
        const std::size_t after = mended.size() - comma - 1;
        if (mended[comma] != ',' || after == 0 || after == 3) {
            return {};
        }
        mended[comma] = '.';
    }
    const Number number = read_number(mended, 0);
    return number.end == mended.size() && !has_leading_zero(mended, number) ? mended : "";
}

LiteralProblem no_number(std::string_view literal, std::size_t begin) {
    const std::string_view rest = literal.substr(begin);
    for (const DashSlip& slip : dash_slips) {
        if (rest.starts_with(slip.written)) {
            return problem(Kind::not_a_number, begin, begin + slip.written.size(),
                           std::string(slip.meant));
        }
    }
    std::size_t length = rest.find_first_not_of("0123456789.,_'");
    length = length == std::string_view::npos ? rest.size() : length;
    if (length == 0) {
        return problem(Kind::not_a_number, begin, literal.size());
    }
    return problem(Kind::not_a_number, begin, begin + length,
                   mended_number(rest.substr(0, length)));
}

// --- units of several parts ----------------------------------------------------------------------

// A unit that the table may lack, as a product of some that it has.
struct CompoundUnit {
    Dimension dimension;
    Conversion conversion;
    UnitId unit = 0; // its row, if it has one
};

Dimension inside_compound(Dimension d) {
    return d.point ? dimension::difference : d;
}

// Reads one part. `m` is no part: too many would mean metres by it.
std::optional<CompoundUnit> read_part(std::string_view name) {
    const UnitId id = find_unit(name);
    if (id == 0 || id == unit_named("m") || name.find('/') != std::string_view::npos) {
        return std::nullopt;
    }
    const Conversion& by = conversion_of(id);
    return CompoundUnit{inside_compound(unit_of(id).dimension), {by.num, by.den, 0}, 0};
}

std::optional<CompoundUnit> read_unit(std::string_view text) {
    if (const UnitId id = find_unit(text); id != 0) {
        return CompoundUnit{dimension_of(id), conversion_of(id), id};
    }
    std::size_t slash = text.find('/');
    if (slash == std::string_view::npos) {
        return std::nullopt;
    }
    std::optional<CompoundUnit> unit = read_part(text.substr(0, slash));
    while (unit && slash != std::string_view::npos) {
        const std::size_t begin = slash + 1;
        slash = text.find('/', begin);
        const auto part = read_part(text.substr(begin, slash - begin));
        if (!part) {
            return std::nullopt;
        }
        const DimensionResult quotient = divide(unit->dimension, part->dimension);
        if (!std::holds_alternative<Dimension>(quotient)) {
            return std::nullopt;
        }
        unit->dimension = std::get<Dimension>(quotient);
        unit->conversion.num *= part->conversion.den;
        unit->conversion.den *= part->conversion.num;
    }
    return unit;
}

// The longest unit at `begin` that is followed by the end or by another number; its end, or
// `begin` where there is none.
std::size_t end_of_unit(std::string_view literal, std::size_t begin) {
    const std::size_t last = std::min(literal.size(), begin + longest_unit);
    for (std::size_t end = last; end > begin; --end) {
        const bool could_end = end == literal.size() || is_digit(literal[end]);
        if (could_end && read_unit(literal.substr(begin, end - begin))) {
            return end;
        }
    }
    return begin;
}

// In "m/s" and "C/m" the one who wrote it was thinking of metres or of minutes.
std::string meant_by_m(std::string_view before, std::string_view after) {
    if (!before.empty()) {
        const UnitId id = find_unit(before);
        const bool degrees = id != 0 && inside_compound(dimension_of(id)).temperature == 1;
        return degrees ? "min" : "metre";
    }
    const UnitId id = find_unit(after.substr(0, after.find('/')));
    return id != 0 && dimension_of(id) == dimension::duration ? "metre" : "min";
}

// The first part at fault of the unit at `begin`, which read_unit refused.
LiteralProblem unknown_unit(std::string_view literal, std::size_t begin) {
    std::size_t end = begin;
    while (end < literal.size() && !is_digit(literal[end])) {
        ++end;
    }
    // "m3" and "cm2" are one wrong name; the 30 of "1hr30m" is another number.
    const bool power = end < literal.size() && (literal[end] == '2' || literal[end] == '3') &&
                       (end + 1 == literal.size() || literal[end + 1] == '/');
    if (power) {
        end = literal.find_first_of("0123456789", end + 1);
        end = end == std::string_view::npos ? literal.size() : end;
    }
    std::string_view before;
    for (std::size_t at = begin; at <= end;) {
        const std::size_t stop = std::min(literal.find('/', at), end);
        const std::string_view part = literal.substr(at, stop - at);
        if (part == "m" && (stop < end || at > begin)) {
            const std::string_view after = literal.substr(std::min(stop + 1, literal.size()));
            return problem(Kind::unknown_unit, at, stop, meant_by_m(before, after));
        }
        if (!part.empty() && !read_part(part)) {
            return problem(Kind::unknown_unit, at, stop, nearest_unit(part));
        }
        before = part.empty() ? before : part;
        at = stop + 1;
    }
    return problem(Kind::unknown_unit, begin, end);
}

// --- quantities ----------------------------------------------------------------------------------

Result finished(double value, Dimension dimension, UnitId unit, std::size_t length) {
    if (!std::isfinite(value)) {
        return problem(Kind::too_large, 0, length);
    }
    if (dimension.point && value < absolute_zero_c) {
        return problem(Kind::below_absolute_zero, 0, length);
    }
    return Quantity{value, dimension, unit};
}

// The whole literal: number and unit, with no rounding but that of the division as long as the
// digits are few (see Conversion).
Result with_unit(const Number& number, bool negative, Dimension dimension, const Conversion& by,
                 UnitId unit, std::size_t length) {
    const double mantissa = negative ? -number.mantissa : number.mantissa;
    return finished(to_base(mantissa, number.power, by), dimension, unit, length);
}

UnitId next_smaller(UnitId unit) {
    if (unit == unit_named("d")) {
        return unit_named("h");
    }
    return unit == unit_named("h") ? unit_named("m") : unit_named("s");
}

// "1h30m" from its second number on: ever smaller units of time, added up.
Result in_parts(std::string_view literal, bool negative, const Number& first, UnitId first_unit,
                std::size_t at) {
    double total = first.mantissa * conversion_of(first_unit).num / first.power;
    UnitId unit = first_unit;
    while (at < literal.size()) {
        const Number number = read_number(literal, at);
        if (is_number_torn(literal.substr(number.end))) {
            return no_number(literal, at);
        }
        if (number.end == literal.size()) {
            const bool can = dimension_of(unit) == dimension::duration && unit != unit_named("s");
            std::string mended(literal.substr(at));
            mended = can ? mended.append(unit_of(next_smaller(unit)).name) : "";
            return problem(Kind::several_units, at, literal.size(), mended);
        }
        const std::size_t end = end_of_unit(literal, number.end);
        if (end == number.end) {
            return unknown_unit(literal, number.end);
        }
        const UnitId next = find_unit(literal.substr(number.end, end - number.end));
        const bool adds = dimension_of(unit) == dimension::duration &&
                          dimension_of(next) == dimension::duration &&
                          conversion_of(next).num < conversion_of(unit).num;
        if (!adds) {
            return problem(Kind::several_units, at, end);
        }
        total += number.mantissa * conversion_of(next).num / number.power;
        unit = next;
        at = end;
    }
    const bool days = first_unit == unit_named("d");
    return finished(negative ? -total : total, dimension::duration,
                    days ? parts_of_days : parts_of_hours, literal.size());
}

Result the_long_way(std::string_view literal, bool negative, const Number& number) {
    if (number.end == number.begin || has_leading_zero(literal, number) ||
        is_number_torn(literal.substr(number.end))) {
        return no_number(literal, number.begin);
    }
    const std::size_t end = end_of_unit(literal, number.end);
    if (end == number.end) {
        return unknown_unit(literal, number.end);
    }
    const auto unit = read_unit(literal.substr(number.end, end - number.end));
    if (end < literal.size()) {
        return in_parts(literal, negative, number, unit->unit, end);
    }
    return with_unit(number, negative, unit->dimension, unit->conversion, unit->unit,
                     literal.size());
}

} // namespace

std::variant<Quantity, LiteralProblem> parse_quantity(std::string_view literal) {
    const bool negative = literal.starts_with('-');
    const Number number = read_number(literal, negative ? 1 : 0);
    if (number.end == number.begin || has_leading_zero(literal, number)) {
        return the_long_way(literal, negative, number);
    }
    if (number.end == literal.size()) {
        return with_unit(number, negative, dimension::number, {}, 0, literal.size());
    }
    const UnitId id = find_unit(literal.substr(number.end));
    if (id == 0) {
        return the_long_way(literal, negative, number);
    }
    return with_unit(number, negative, unit_of(id).dimension, conversion_of(id), id,
                     literal.size());
}

std::optional<double> parse_clock(std::string_view literal) {
    const std::size_t colon = literal.find(':');
    if (colon < 1 || colon > 2 || literal.size() != colon + 3) {
        return std::nullopt;
    }
    int hours = 0;
    int minutes = 0;
    for (std::size_t at = 0; at < literal.size(); ++at) {
        if (at == colon) {
            continue;
        }
        if (!is_digit(literal[at])) {
            return std::nullopt;
        }
        int& part = at < colon ? hours : minutes;
        part = part * 10 + (literal[at] - '0');
    }
    if (hours > 23 || minutes > 59) {
        return std::nullopt;
    }
    return hours * 3600.0 + minutes * 60.0;
}

} // namespace fettle
