#include "compiler/output/log_words.h"

#include "compiler/units/quantity.h"
#include "runtime/log/log_fields.h"

#include <fmt/format.h>

namespace fettle {
namespace {

std::string_view word_of(LogUnit unit) {
    switch (unit) {
    case LogUnit::celsius: return "degrees Celsius";
    case LogUnit::fahrenheit: return "degrees Fahrenheit";
    case LogUnit::kelvin: return "kelvin";
    case LogUnit::millivolts: return "millivolts";
    }
    return {};
}

std::string word_of_delimiter(const std::string& sign) {
    return sign == ";"    ? "semicolons"
           : sign == "\t" ? "tabs"
           : sign == "|"  ? "bars"
           : sign == " "  ? "blanks"
                          : "commas";
}

std::string_view word_of_time(double seconds) {
    return seconds == 3600 ? "hours"
           : seconds == 60 ? "minutes"
           : seconds == 1  ? "seconds"
                           : "milliseconds";
}

std::string sensor_name(const LogReading& reading, std::size_t sensor) {
    return sensor < reading.sensors.size() ? "`" + reading.sensors[sensor].name + "`"
                                           : "the sensor";
}

std::string times(double count) {
    return count == 1 ? "once" : fmt::format("{} times", print_number(count, 0));
}

std::string readings(std::size_t count) {
    return count == 1 ? "1 reading" : fmt::format("{} readings", count);
}

std::string degrees(double celsius) {
    return print_temperature(celsius, Scale::celsius);
}

} // namespace

std::string printed_date(double seconds_since_1970) {
    const CalendarDate date = calendar_date(seconds_since_1970);
    return fmt::format("{:04}-{:02}-{:02} {:02}:{:02}", date.year, date.month, date.day, date.hour,
                       date.minute);
}

std::string describe(const LogAssumption& it, const LogReading& reading) {
    using Kind = LogAssumption::Kind;
    switch (it.kind) {
    case Kind::delimiter:
        return fmt::format("{} stand between the columns", word_of_delimiter(it.text));
    case Kind::decimal_comma: return "a comma in a number is the decimal comma";
    case Kind::no_header: return "there is no header: the first column is time, the others sensors";
    case Kind::time_column: return fmt::format("the column `{}` is the time", it.text);
    case Kind::time_unit:
        return fmt::format("times are in {}, by the length of the log (`--time` says otherwise)",
                           word_of_time(it.value));
    case Kind::equal_intervals:
        return fmt::format("there are no times: {} from reading to reading",
                           print_duration(it.value));
    case Kind::day_first: return "03/04 is the third of April (`--month-first` says otherwise)";
    case Kind::month_first: return "03/14 is the fourteenth of March";
    case Kind::midnight_passed: return fmt::format("the clock passes midnight {}", times(it.value));
    case Kind::clock_set_back:
        return fmt::format("on line {} the clock is an hour back: summer time has ended", it.line);
    case Kind::unit:
        return fmt::format("{} is in {} (`--unit` says otherwise)", sensor_name(reading, it.sensor),
                           word_of(it.unit));
    case Kind::junction:
        return it.value == 0
                   ? fmt::format("the millivolts of {} count from 0C (`--junction 25C` for another "
                                 "temperature at the cold end)",
                                 sensor_name(reading, it.sensor))
                   : fmt::format("the cold end of {} was at {}", sensor_name(reading, it.sensor),
                                 degrees(it.value));
    case Kind::averaged:
        return fmt::format("means over {} are kept of so many readings",
                           it.value < 2 ? print_number(it.value, 2) + "s"
                                        : print_duration(it.value));
    case Kind::column_left_out:
        return fmt::format("the column `{}` is no temperature of the kiln", it.text);
    }
    return {};
}

std::string describe(const LogProblem& it, const LogReading& reading) {
    using Kind = LogProblem::Kind;
    const std::string sensor = sensor_name(reading, it.sensor);
    switch (it.kind) {
    case Kind::empty: return "the log is empty: no line in it has a time and a temperature";
    case Kind::not_text:
        return "the log is no plain text; save it as CSV (a spreadsheet can) and try again";
    case Kind::no_time:
        return "the log has no column of times; put one in, or say how far the readings are "
               "apart: `--every 60s`";
    case Kind::no_temperature:
        return "the log has no column of temperatures; name one in its header, for instance "
               "`kiln_c`";
    case Kind::line_too_long:
        return fmt::format("line {} is too long for a line of a log; is it a log?", it.line);
    case Kind::type_needed:
        return fmt::format("{} is in millivolts; say of which thermocouple: `--thermocouple K` "
                           "(or N, R, S, B)",
                           sensor);
    case Kind::no_span:
        return "the log covers less than a minute; if its times are in minutes or hours, say "
               "`--time minutes` or `--time hours`";
    case Kind::unit_unclear:
        return fmt::format("the log never reads above {}, which is no firing in any degrees; if "
                           "it is in millivolts, say `--unit mV --thermocouple K`",
                           print_number(it.value, 1));
    case Kind::no_readings:
        return fmt::format("{} has no number in any line; look at its plug", sensor);
    case Kind::all_one_value:
        return fmt::format("{} stays at {} from beginning to end; it was not connected, or the "
                           "kiln was not fired",
                           sensor, degrees(it.value));
    case Kind::open_circuit:
        return fmt::format("{} mostly reads what a broken thermocouple reads; look at its wires "
                           "and its tip",
                           sensor);
    case Kind::reversed:
        return fmt::format("{} falls to {} while the kiln is heated; its two wires are the wrong "
                           "way round",
                           sensor, degrees(it.value));
    case Kind::gap:
        return fmt::format("no reading for {} from {} on; a straight line is taken in between",
                           print_duration(it.value), print_duration(it.time_s));
    case Kind::repeated_time:
        return fmt::format("{} at the time of the one before, the first on line {}, left out",
                           readings(it.count), it.line);
    case Kind::backward_time:
        return fmt::format("{} earlier than the one before, the first on line {}, left out; if "
                           "the log holds two firings, cut it in two",
                           readings(it.count), it.line);
    case Kind::bad_line:
        return it.count == 1
                   ? fmt::format("line {} is no reading, left out", it.line)
                   : fmt::format("{} lines are no readings, the first is line {}, left out",
                                 it.count, it.line);
    case Kind::missing_readings:
        return fmt::format("{} of {} {} no number", readings(it.count), sensor,
                           it.count == 1 ? "is" : "are");
    case Kind::jump:
        return fmt::format("{} jumps by {} from one reading to the next on line {}; look at its "
                           "connections",
                           sensor, print_difference(it.value, Scale::celsius), it.line);
    }
    return {};
}

} // namespace fettle
