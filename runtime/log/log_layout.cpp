#include "runtime/log/log_layout.h"

#include <algorithm>
#include <array>
#include <map>
#include <utility>

namespace fettle {
namespace {

// --- words of headers ---

struct Words {
    std::vector<std::string> all; // lower case, letters and signs of degrees only

    bool has(std::string_view word) const {
        return std::find(all.begin(), all.end(), word) != all.end();
    }
    template <std::size_t N> bool has_any(const std::array<std::string_view, N>& words) const {
        return std::any_of(words.begin(), words.end(), [&](auto word) { return has(word); });
    }
};

Words words_of(std::string_view name) {
    Words words;
    std::string word;
    const auto end_word = [&] {
        if (!word.empty())
            words.all.push_back(std::exchange(word, {}));
    };
    for (const char c : name) {
        const char lower = static_cast<char>(c >= 'A' && c <= 'Z' ? c | 0x20 : c);
        if (lower >= 'a' && lower <= 'z')
            word += lower;
        else
            end_word();
        if (c == '%')
            words.all.emplace_back("%");
    }
    end_word();
    return words;
}

constexpr std::array<std::string_view, 9> time_words = {
    "time", "date", "timestamp", "elapsed", "clock", "seconds", "minutes", "hours", "datetime"};
constexpr std::array<std::string_view, 40> other_words = {
    "set",    "setpoint", "target",  "asked",    "wanted",  "sp",    "program", "programme",
    "power",  "output",   "duty",    "percent",  "%",       "kw",    "kwh",     "energy",
    "amps",   "volts",    "segment", "step",     "status",  "state", "error",   "note",
    "notes",  "remark",   "remarks", "humidity", "index",   "no",    "nr",      "row",
    "number", "battery",  "ambient", "room",     "outside", "relay", "rate",    "deviation"};

struct UnitWord {
    std::string_view word;
    LogUnit unit;
};
constexpr UnitWord unit_words[] = {
    {"c", LogUnit::celsius},
    {"degc", LogUnit::celsius},
    {"celsius", LogUnit::celsius},
    {"centigrade", LogUnit::celsius},
    {"f", LogUnit::fahrenheit},
    {"degf", LogUnit::fahrenheit},
    {"fahrenheit", LogUnit::fahrenheit},
    {"kelvin", LogUnit::kelvin},
    {"mv", LogUnit::millivolts},
    {"millivolt", LogUnit::millivolts},
    {"millivolts", LogUnit::millivolts},
};

struct TimeUnitWord {
    std::string_view word;
    double seconds;
};
constexpr TimeUnitWord time_unit_words[] = {
    {"s", 1},        {"sec", 1},      {"secs", 1},   {"second", 1},
    {"seconds", 1},  {"min", 60},     {"mins", 60},  {"minute", 60},
    {"minutes", 60}, {"h", 3600},     {"hr", 3600},  {"hrs", 3600},
    {"hour", 3600},  {"hours", 3600}, {"ms", 0.001}, {"milliseconds", 0.001},
};

// --- one line under one reading of the signs ---

enum class FieldKind : std::uint8_t { words, nothing, number, time };

FieldKind kind_of(std::string_view field, bool decimal_comma) {
    if (field.empty())
        return FieldKind::nothing;
    if (read_number(field, decimal_comma))
        return FieldKind::number;
    if (const auto time = read_time(field, decimal_comma, true))
        return FieldKind::time;
    return FieldKind::words;
}

std::vector<std::string_view> fields_of(std::string_view line, char delimiter) {
    std::vector<std::string_view> fields;
    LineFields split(line, delimiter);
    for (std::string_view field; split.next(field);)
        fields.push_back(field);
    return fields;
}

struct Signs {
    char delimiter;
    bool decimal_comma;
};
constexpr Signs possible_signs[] = {{',', false},          {';', false},        {';', true},
                                    {'\t', false},         {'\t', true},        {'|', false},
                                    {'|', true},           {' ', false},        {' ', true},
                                    {no_delimiter, false}, {no_delimiter, true}};

struct Fit {
    long read = 0;           // fields that are numbers or times, less those that are words
    std::size_t columns = 0; // that most lines have
};

Fit fit_of(const std::vector<std::string_view>& lines, Signs signs) {
    Fit fit;
    std::map<std::size_t, long> by_columns;
    for (const std::string_view line : lines) {
        long read = 0;
        const auto fields = fields_of(line, signs.delimiter);
        for (const std::string_view field : fields) {
            const FieldKind kind = kind_of(field, signs.decimal_comma);
            read += kind == FieldKind::words ? -1 : kind == FieldKind::nothing ? 0 : 1;
        }
        if (read > 0)
            by_columns[fields.size()] += read;
    }
    for (const auto& [columns, read] : by_columns) {
        if (read > fit.read)
            fit = {read, columns};
    }
    return fit;
}

// --- columns ---

// The column's fields in the lines that have as many fields as most.
using Sample = std::vector<std::vector<std::string_view>>;

bool mostly(const Sample& column, std::size_t at, bool decimal_comma, FieldKind wanted) {
    std::size_t good = 0, filled = 0;
    for (const std::string_view field : column[at]) {
        const FieldKind kind = kind_of(field, decimal_comma);
        filled += kind != FieldKind::nothing;
        good += kind == wanted;
    }
    return good > 0 && 2 * good >= filled;
}

bool rises(const std::vector<std::string_view>& fields, bool decimal_comma) {
    std::optional<double> last;
    std::size_t up = 0, down = 0;
    for (const std::string_view field : fields) {
        const auto number = read_number(field, decimal_comma);
        if (!number || number->unit)
            continue;
        if (last)
            (number->value >= *last ? up : down) += 1;
        last = number->value;
    }
    return up > 0 && 20 * down <= up;
}

class Finder {
  public:
    Finder(const std::vector<std::string_view>& lines, const LogOptions& options)
        : options_(options) {
        std::copy_if(lines.begin(), lines.end(), std::back_inserter(lines_),
                     [](std::string_view line) { return !is_remark(line); });
        all_ = lines;
    }

    LogLayout find() {
        choose_signs();
        if (fit_.read <= 0) {
            problem(LogProblem::Kind::empty);
            return layout_;
        }
        take_sample();
        take_header();
        choose_time();
        choose_sensors();
        return layout_;
    }

  private:
    void problem(LogProblem::Kind kind) { layout_.problems.push_back({.kind = kind}); }
    LogAssumption& assume(LogAssumption::Kind kind) {
        return layout_.assumptions.emplace_back(LogAssumption{.kind = kind});
    }

    void choose_signs() {
        for (const Signs signs : possible_signs) {
            const Fit fit = fit_of(lines_, signs);
            if (fit.read > fit_.read) {
                fit_ = fit;
                layout_.delimiter = signs.delimiter;
                layout_.decimal_comma = signs.decimal_comma;
            }
        }
        if (fit_.read > 0 && layout_.delimiter != ',' && layout_.delimiter != no_delimiter)
            assume(LogAssumption::Kind::delimiter).text = std::string(1, layout_.delimiter);
        if (layout_.decimal_comma)
            assume(LogAssumption::Kind::decimal_comma);
    }

    bool is_data(const std::vector<std::string_view>& fields) const {
        const auto readable =
            std::count_if(fields.begin(), fields.end(), [&](std::string_view field) {
                const FieldKind kind = kind_of(field, layout_.decimal_comma);
                return kind == FieldKind::number || kind == FieldKind::time;
            });
        return fields.size() == fit_.columns && readable >= (fit_.columns >= 2 ? 2 : 1);
    }

    void take_sample() {
        columns_.resize(fit_.columns);
        for (const std::string_view line : lines_) {
            const auto fields = fields_of(line, layout_.delimiter);
            if (!is_data(fields))
                continue;
            if (first_data_.empty())
                first_data_ = line;
            for (std::size_t i = 0; i < fields.size(); ++i)
                columns_[i].push_back(fields[i]);
        }
        layout_.columns.resize(fit_.columns);
    }

    // The last line before the readings with as many fields, remarks among them.
    void take_header() {
        for (std::string_view line : all_) {
            if (line.data() == first_data_.data())
                break;
            line = trimmed(line);
            if (!line.empty() && line.front() == '#')
                line = trimmed(line.substr(1));
            const auto fields = fields_of(line, layout_.delimiter);
            if (fields.size() != fit_.columns || is_data(fields))
                continue;
            layout_.header = true;
            for (std::size_t i = 0; i < fields.size(); ++i)
                layout_.columns[i].name = std::string(fields[i]);
        }
        if (!layout_.header)
            assume(LogAssumption::Kind::no_header);
        for (LogColumn& column : layout_.columns) {
            const Words words = words_of(column.name);
            for (const UnitWord& row : unit_words) {
                if (words.has(row.word))
                    column.unit = row.unit;
            }
            for (std::size_t i = 0; i + 1 < words.all.size(); ++i) {
                if (words.all[i] == "type")
                    column.thermocouple = thermocouple_type(words.all[i + 1]);
            }
        }
    }

    FieldTime first_time(std::size_t column) const {
        FieldTime found;
        for (const std::string_view field : columns_[column]) {
            if (const auto time = read_time(field, layout_.decimal_comma, layout_.day_first)) {
                found = *time;
                break;
            }
        }
        return found;
    }

    void choose_day_first(std::size_t column) {
        bool day = true, month = true, asked = false;
        for (const std::string_view field : columns_[column]) {
            if (const auto time = read_time(field, layout_.decimal_comma, true)) {
                asked |= time->two_ways;
                day &= time->day_first_possible;
                month &= time->month_first_possible;
            }
        }
        layout_.day_first = options_.day_first.value_or(day);
        if (asked && !options_.day_first && day && month)
            assume(LogAssumption::Kind::day_first);
        else if (asked && !options_.day_first && month)
            assume(LogAssumption::Kind::month_first);
    }

    std::optional<std::size_t> time_column() const {
        for (std::size_t i = 0; i < columns_.size(); ++i) {
            if (mostly(columns_, i, layout_.decimal_comma, FieldKind::time))
                return i;
        }
        for (std::size_t i = 0; i < columns_.size(); ++i) {
            if (mostly(columns_, i, layout_.decimal_comma, FieldKind::number) &&
                words_of(layout_.columns[i].name).has_any(time_words))
                return i;
        }
        if (options_.interval_s)
            return std::nullopt;
        if (columns_.size() >= 2 && !layout_.columns[0].unit &&
            rises(columns_[0], layout_.decimal_comma))
            return 0;
        return std::nullopt;
    }

    void choose_time() {
        const auto column = time_column();
        if (!column) {
            if (options_.interval_s)
                assume(LogAssumption::Kind::equal_intervals).value = *options_.interval_s;
            else
                problem(LogProblem::Kind::no_time);
            return;
        }
        LogColumn& time = layout_.columns[*column];
        time.role = ColumnRole::time;
        time.unit.reset();
        choose_day_first(*column);
        layout_.time_form = first_time(*column).form;
        if (layout_.time_form == TimeForm::date && *column + 1 < columns_.size() &&
            first_time(*column + 1).form == TimeForm::clock)
            layout_.columns[*column + 1].role = ColumnRole::time_of_day;
        const Words words = words_of(time.name);
        for (const TimeUnitWord& row : time_unit_words) {
            if (words.has(row.word))
                layout_.time_unit_s = row.seconds;
        }
        if (options_.time_unit_s)
            layout_.time_unit_s = options_.time_unit_s;
        if (layout_.header && !words.has_any(time_words))
            assume(LogAssumption::Kind::time_column).text = time.name;
    }

    void choose_sensors() {
        for (std::size_t i = 0; i < layout_.columns.size(); ++i) {
            LogColumn& column = layout_.columns[i];
            if (column.role != ColumnRole::left_out ||
                !mostly(columns_, i, layout_.decimal_comma, FieldKind::number))
                continue;
            const Words words = words_of(column.name);
            if (words.has_any(other_words) || words.has_any(time_words)) {
                assume(LogAssumption::Kind::column_left_out).text = column.name;
                continue;
            }
            column.role = ColumnRole::sensor;
            column.sensor = layout_.sensors++;
            for (const std::string_view field : columns_[i]) {
                if (const auto number = read_number(field, layout_.decimal_comma);
                    number && number->unit)
                    column.unit = number->unit;
            }
        }
        if (layout_.sensors == 0)
            problem(LogProblem::Kind::no_temperature);
    }

    const LogOptions& options_;
    std::vector<std::string_view> lines_, all_;
    Fit fit_;
    Sample columns_;
    std::string_view first_data_;
    LogLayout layout_;
};

} // namespace

bool is_remark(std::string_view line) {
    line = trimmed(line);
    return line.empty() || line.front() == '#';
}

LogLayout find_layout(const std::vector<std::string_view>& lines, const LogOptions& options) {
    return Finder(lines, options).find();
}

} // namespace fettle
