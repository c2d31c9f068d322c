#include "runtime/log/read_log.h"

#include "runtime/log/log_fields.h"
#include "runtime/log/log_layout.h"
#include "runtime/log/log_points.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstring>
#include <limits>
#include <utility>

namespace fettle {
namespace {

constexpr double missing = std::numeric_limits<double>::quiet_NaN();
constexpr std::size_t head_bytes = 1 << 16; // the layout is decided from these
constexpr std::size_t longest_line = 1 << 16;
constexpr std::size_t gaps_told = 16;
constexpr double hottest_kiln_c = 1420; // readings above it are degrees Fahrenheit
constexpr double coolest_top = 80;      // in any degrees; a log that never gets there is none
constexpr double sentinel_low = -250, sentinel_high = 3200; // what loggers write for a broken lead

// What is known of one sensor while its readings go by, in its own unit.
struct Passing {
    bool in_millivolts = false;
    ThermocoupleType type = ThermocoupleType::k;
    std::size_t count = 0, lost = 0, open = 0, below = 0, at_highest = 0;
    double highest = -1e300, lowest = 1e300;
    double first = missing, last = missing, near_c = 20;
    double jump = 0;
    std::size_t jump_line = 0;
};

// The longest waits between readings, and what a usual one is.
class Intervals {
  public:
    void add(double from, double wait) {
        if (usual_.size() < 4096)
            usual_.push_back(wait);
        if (longest_.size() == gaps_told && wait <= longest_.back().wait)
            return;
        const auto at = std::find_if(longest_.begin(), longest_.end(),
                                     [&](const Long& other) { return other.wait < wait; });
        longest_.insert(at, {from, wait});
        if (longest_.size() > gaps_told)
            longest_.pop_back();
    }
    double median() {
        if (usual_.empty())
            return 0;
        const auto middle = usual_.begin() + static_cast<std::ptrdiff_t>(usual_.size() / 2);
        std::nth_element(usual_.begin(), middle, usual_.end());
        return *middle;
    }
    struct Long {
        double from, wait;
    };
    const std::vector<Long>& longest() const { return longest_; }

  private:
    std::vector<double> usual_;
    std::vector<Long> longest_; // longest first
};

std::string_view without_mark(std::string_view bytes) {
    return bytes.starts_with("\xEF\xBB\xBF") ? bytes.substr(3) : bytes;
}

bool looks_like_text(std::string_view bytes) {
    return bytes.find('\0') == std::string_view::npos && !bytes.starts_with("\xFF\xFE") &&
           !bytes.starts_with("\xFE\xFF") && !bytes.starts_with("PK\x03\x04");
}

double to_celsius(LogUnit unit, double value) {
    switch (unit) {
    case LogUnit::fahrenheit: return (value - 32) / 1.8;
    case LogUnit::kelvin: return value - 273.15;
    default: return value;
    }
}

double kelvin_in(LogUnit unit) {
    return unit == LogUnit::fahrenheit ? 1 / 1.8 : 1;
}

} // namespace

struct LogReader::Inside {
    explicit Inside(const LogOptions& given) : options(given), points(0, 16) {}

    LogOptions options;
    LogLayout layout;
    LogReading reading;
    LogPoints points;
    std::vector<Passing> passing;
    std::vector<double> row;
    Intervals intervals;
    std::string carry; // the head until the layout is known, then the beginning of a line
    bool laid_out = false, spoilt = false;
    bool timed = false; // there is a column of times
    char line_end = '\n';
    std::size_t line = 0;
    std::size_t last_needed = 0; // column
    double first_time = 0, last_time = 0, shift = 0;
    bool any = false;

    void assume(LogAssumption assumption) { reading.assumptions.push_back(std::move(assumption)); }
    LogProblem& count(LogProblem::Kind kind) {
        for (LogProblem& problem : reading.problems) {
            if (problem.kind == kind) {
                ++problem.count;
                return problem;
            }
        }
        return reading.problems.emplace_back(LogProblem{.kind = kind, .line = line, .count = 1});
    }
    void spoil(LogProblem problem) {
        spoilt = true;
        reading.problems.push_back(problem);
    }

    // --- the head ---

    void lay_out() {
        laid_out = true;
        const std::string head = std::exchange(carry, {});
        const std::string_view bytes = without_mark(head);
        if (!looks_like_text(bytes))
            return spoil({.kind = LogProblem::Kind::not_text});
        if (bytes.find('\n') == std::string_view::npos &&
            bytes.find('\r') != std::string_view::npos)
            line_end = '\r';
        std::vector<std::string_view> lines;
        for (std::string_view rest = bytes; !rest.empty();) {
            const std::size_t end = std::min(rest.find(line_end), rest.size());
            // A line that is cut at the end of the head would tell something wrong.
            if (end < rest.size() || head.size() < head_bytes || lines.empty())
                lines.push_back(rest.substr(0, end));
            rest.remove_prefix(std::min(end + 1, rest.size()));
        }
        layout = find_layout(lines, options);
        reading.assumptions = layout.assumptions;
        for (const LogProblem& problem : layout.problems)
            spoil(problem);
        if (!spoilt)
            prepare_sensors();
        if (!spoilt)
            take_lines(bytes);
    }

    void prepare_sensors() {
        points = LogPoints(layout.sensors, options.most_points);
        passing.resize(layout.sensors);
        row.resize(layout.sensors);
        for (std::size_t i = 0; i < layout.columns.size(); ++i) {
            LogColumn& column = layout.columns[i];
            timed |= column.role == ColumnRole::time;
            if (column.role != ColumnRole::left_out)
                last_needed = i;
            if (column.role != ColumnRole::sensor)
                continue;
            if (options.unit)
                column.unit = options.unit;
            LogSensor& sensor = reading.sensors.emplace_back();
            sensor.name =
                column.name.empty() ? "sensor " + std::to_string(column.sensor + 1) : column.name;
            if (column.unit != LogUnit::millivolts)
                continue;
            const auto type = options.thermocouple ? options.thermocouple : column.thermocouple;
            if (!type)
                return spoil({.kind = LogProblem::Kind::type_needed, .sensor = column.sensor});
            passing[column.sensor].in_millivolts = true;
            passing[column.sensor].type = *type;
            assume({.kind = LogAssumption::Kind::junction,
                    .value = options.junction_c,
                    .sensor = column.sensor});
        }
    }

    // --- lines ---

    void take_lines(std::string_view bytes) {
        while (!bytes.empty() && !spoilt) {
            const auto* end =
                static_cast<const char*>(std::memchr(bytes.data(), line_end, bytes.size()));
            if (end == nullptr) {
                carry.append(bytes);
                if (carry.size() > longest_line)
                    spoil({.kind = LogProblem::Kind::line_too_long, .line = line + 1});
                return;
            }
            const auto length = static_cast<std::size_t>(end - bytes.data());
            if (carry.empty()) {
                take_line(bytes.substr(0, length));
            } else {
                carry.append(bytes.substr(0, length));
                take_line(std::exchange(carry, {}));
            }
            bytes.remove_prefix(length + 1);
        }
    }

    void take_line(std::string_view text) {
        ++line;
        if (is_remark(text))
            return;
        std::optional<double> time;
        std::string_view date_or_time, of_day;
        std::fill(row.begin(), row.end(), missing);
        std::size_t at = 0, readings = 0;
        LineFields fields(text, layout.delimiter);
        for (std::string_view field; at <= last_needed && fields.next(field); ++at) {
            const LogColumn& column = layout.columns[at];
            switch (column.role) {
            case ColumnRole::left_out: break;
            case ColumnRole::time: date_or_time = field; break;
            case ColumnRole::time_of_day: of_day = field; break;
            case ColumnRole::sensor:
                if (const auto number = read_number(field, layout.decimal_comma)) {
                    row[column.sensor] = number->value;
                    ++readings;
                }
                break;
            }
        }
        if (timed)
            time = time_of(date_or_time, of_day);
        else if (readings > 0)
            time = static_cast<double>(reading.rows) * *options.interval_s;
        if (!time || at <= last_needed) {
            // The words before the first reading are the header and what stands above it.
            if (any)
                count(LogProblem::Kind::bad_line);
            return;
        }
        take_reading(*time);
    }

    std::optional<double> time_of(std::string_view field, std::string_view of_day) {
        const auto time = read_time(field, layout.decimal_comma, layout.day_first);
        if (!time || time->form != layout.time_form)
            return std::nullopt;
        double value = time->value;
        if (!of_day.empty()) {
            const auto clock = read_time(of_day, layout.decimal_comma, layout.day_first);
            if (!clock || clock->form != TimeForm::clock)
                return std::nullopt;
            value += clock->value;
        }
        if (!any && (time->form == TimeForm::date || time->form == TimeForm::date_time))
            reading.first_date_s = value;
        return value - time->zone_s.value_or(0);
    }

    // A clock that went back: past midnight, or at the end of summer time.
    void follow_the_clock(double time) {
        const double back = last_time - time;
        const bool clock = layout.time_form == TimeForm::clock;
        const bool dated =
            layout.time_form == TimeForm::date_time || layout.time_form == TimeForm::date;
        if (clock && back > 43200) {
            shift += 86400;
            for (LogAssumption& assumption : reading.assumptions) {
                if (assumption.kind == LogAssumption::Kind::midnight_passed)
                    return void(++assumption.value);
            }
            assume({.kind = LogAssumption::Kind::midnight_passed, .value = 1});
        } else if ((clock || dated) && back > 2700 && back <= 3600) {
            shift += 3600;
            assume({.kind = LogAssumption::Kind::clock_set_back, .line = line});
        }
    }

    void take_reading(double raw_time) {
        double time = raw_time + shift;
        if (any && time < last_time) {
            follow_the_clock(time);
            time = raw_time + shift;
        }
        if (any && time <= last_time) {
            count(time == last_time ? LogProblem::Kind::repeated_time
                                    : LogProblem::Kind::backward_time);
            return;
        }
        if (any)
            intervals.add(last_time, time - last_time);
        else
            first_time = time;
        for (std::size_t i = 0; i < row.size(); ++i)
            row[i] = passed(passing[i], row[i]);
        any = true;
        last_time = time;
        ++reading.rows;
        points.add(time - first_time, row);
    }

    double passed(Passing& sensor, double value) {
        if (std::isnan(value)) {
            ++sensor.lost;
            return missing;
        }
        if (sensor.in_millivolts) {
            sensor.below += value < -0.3;
            const auto celsius =
                celsius_from_millivolts_at(sensor.type, value, options.junction_c, sensor.near_c);
            if (!celsius) {
                // Type B gives next to nothing in a cold kiln.
                if (sensor.type == ThermocoupleType::b && std::fabs(value) < 0.01)
                    return missing;
                ++sensor.open;
                return missing;
            }
            value = *celsius;
            sensor.near_c = value;
        } else if (value <= sentinel_low || value >= sentinel_high) {
            ++sensor.open;
            return missing;
        } else {
            sensor.below += value < -20;
        }
        if (sensor.count++ == 0)
            sensor.first = value;
        if (value > sensor.highest) {
            sensor.highest = value;
            sensor.at_highest = 0;
        }
        sensor.at_highest += value == sensor.highest;
        sensor.lowest = std::min(sensor.lowest, value);
        if (const double jump = std::fabs(value - sensor.last); jump > sensor.jump) {
            sensor.jump = jump;
            sensor.jump_line = line;
        }
        sensor.last = value;
        return value;
    }

    // --- the end ---

    void finish_times() {
        std::vector<double>& times = points.times();
        if (!any)
            return spoil({.kind = LogProblem::Kind::empty});
        double unit_s = 1;
        const double span = last_time - first_time;
        if (layout.time_form == TimeForm::number && timed) {
            // A firing takes from two hours to a few days.
            unit_s = layout.time_unit_s.value_or(span > 2e6    ? 0.001
                                                 : span > 8000 ? 1
                                                 : span > 120  ? 60
                                                               : 3600);
            if (!layout.time_unit_s)
                assume({.kind = LogAssumption::Kind::time_unit, .value = unit_s});
        }
        if (span * unit_s < 60)
            return spoil({.kind = LogProblem::Kind::no_span});
        for (double& time : times)
            time *= unit_s;
        reading.time_s = std::move(times);
        reading.typical_interval_s = intervals.median() * unit_s;
        const double long_s = std::max(10 * reading.typical_interval_s, 300.0);
        std::vector<Intervals::Long> gaps = intervals.longest();
        std::sort(gaps.begin(), gaps.end(),
                  [](const auto& a, const auto& b) { return a.from < b.from; });
        for (const Intervals::Long& gap : gaps) {
            if (gap.wait * unit_s > long_s)
                reading.problems.push_back({.kind = LogProblem::Kind::gap,
                                            .time_s = (gap.from - first_time) * unit_s,
                                            .value = gap.wait * unit_s});
        }
        if (points.width() > 0)
            assume({.kind = LogAssumption::Kind::averaged, .value = points.width() * unit_s});
    }

    // By the header, or by what a kiln can reach.
    LogUnit unit_of(std::size_t sensor) {
        for (const LogColumn& column : layout.columns) {
            if (column.role == ColumnRole::sensor && column.sensor == sensor && column.unit)
                return *column.unit;
        }
        const LogUnit unit =
            passing[sensor].highest > hottest_kiln_c ? LogUnit::fahrenheit : LogUnit::celsius;
        assume({.kind = LogAssumption::Kind::unit, .sensor = sensor, .unit = unit});
        return unit;
    }

    void finish_sensor(std::size_t index) {
        const Passing& seen = passing[index];
        LogSensor& sensor = reading.sensors[index];
        const auto found = [&](LogProblem::Kind kind, double value = 0, std::size_t at = 0) {
            reading.problems.push_back({.kind = kind,
                                        .line = at,
                                        .count = seen.lost + seen.open,
                                        .sensor = index,
                                        .value = value});
            sensor.usable &= !spoils_the_sensor(kind);
        };
        const std::size_t all = seen.count + seen.lost + seen.open;
        sensor.celsius = std::move(points.values(index));
        if (seen.below * 10 > all && (seen.count == 0 || seen.highest < 60)) {
            sensor.unit = seen.in_millivolts ? LogUnit::millivolts : LogUnit::celsius;
            sensor.lowest_c = seen.count == 0 ? 0 : seen.lowest;
            return found(LogProblem::Kind::reversed, sensor.lowest_c);
        }
        if (seen.count == 0)
            return found(seen.open > 0 ? LogProblem::Kind::open_circuit
                                       : LogProblem::Kind::no_readings);
        sensor.unit = unit_of(index);
        for (double& value : sensor.celsius)
            value = to_celsius(sensor.unit, value);
        sensor.highest_c = to_celsius(sensor.unit, seen.highest);
        sensor.lowest_c = to_celsius(sensor.unit, seen.lowest);
        const bool upscale = sensor.highest_c > 1350 && seen.at_highest * 3 > all;
        if (2 * seen.open > all || upscale)
            return found(LogProblem::Kind::open_circuit);
        if (seen.highest - seen.lowest < 1)
            return found(LogProblem::Kind::all_one_value, to_celsius(sensor.unit, seen.first));
        if (seen.lost + seen.open > 0)
            found(LogProblem::Kind::missing_readings);
        if (seen.jump * kelvin_in(sensor.unit) > 100 && reading.typical_interval_s <= 60)
            found(LogProblem::Kind::jump, seen.jump * kelvin_in(sensor.unit), seen.jump_line);
    }

    LogReading finish() {
        if (!laid_out)
            lay_out();
        if (!carry.empty() && !spoilt) {
            take_line(std::exchange(carry, {}));
        }
        points.finish();
        if (!spoilt)
            finish_times();
        for (std::size_t i = 0; i < reading.sensors.size() && !spoilt; ++i)
            finish_sensor(i);
        refuse_cold_log();
        return std::move(reading);
    }

    // Never as warm as boiling water: millivolts, volts, or no firing.
    void refuse_cold_log() {
        double highest = -1e300;
        bool any_usable = false;
        for (std::size_t i = 0; i < reading.sensors.size(); ++i) {
            if (!reading.sensors[i].usable || passing[i].count == 0)
                continue;
            any_usable = true;
            highest = std::max(highest, passing[i].highest);
        }
        if (!spoilt && any_usable && highest < coolest_top)
            spoil({.kind = LogProblem::Kind::unit_unclear, .value = highest});
    }
};

LogReader::LogReader(const LogOptions& options) : inside_(std::make_unique<Inside>(options)) {}
LogReader::LogReader(LogReader&&) noexcept = default;
LogReader::~LogReader() = default;

void LogReader::feed(std::string_view bytes) {
    Inside& inside = *inside_;
    if (inside.spoilt)
        return;
    if (!inside.laid_out) {
        const std::size_t taken =
            std::min(bytes.size(), head_bytes - std::min(head_bytes, inside.carry.size()));
        inside.carry.append(bytes.substr(0, taken));
        if (inside.carry.size() < head_bytes)
            return;
        inside.lay_out();
        bytes.remove_prefix(taken);
    }
    inside.take_lines(bytes);
}

LogReading LogReader::finish() {
    return inside_->finish();
}

LogReading read_log(std::string_view text, const LogOptions& options) {
    LogReader reader(options);
    reader.feed(text);
    return reader.finish();
}

bool LogReading::judgeable() const {
    return std::none_of(problems.begin(), problems.end(),
                        [](const LogProblem& problem) { return spoils_the_log(problem.kind); }) &&
           main_sensor().has_value();
}

std::optional<std::size_t> LogReading::main_sensor() const {
    double hottest = 0;
    for (const LogSensor& sensor : sensors) {
        if (sensor.usable)
            hottest = std::max(hottest, sensor.highest_c);
    }
    for (std::size_t i = 0; i < sensors.size(); ++i) {
        if (sensors[i].usable && sensors[i].highest_c >= 0.8 * hottest)
            return i;
    }
    return std::nullopt;
}

} // namespace fettle
