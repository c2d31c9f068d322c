// How a log is laid out, decided from its first lines.
#pragma once

#include "runtime/log/log_fields.h"
#include "runtime/log/read_log.h"

#include <string>
#include <string_view>
#include <vector>

namespace fettle {

enum class ColumnRole : std::uint8_t {
    left_out,
    time,        // by TimeForm of the layout
    time_of_day, // beside a column of dates
    sensor,
};

struct LogColumn {
    ColumnRole role = ColumnRole::left_out;
    std::string name; // empty where there is no header
    std::size_t sensor = 0;
    std::optional<LogUnit> unit;                  // as the header or the readings say
    std::optional<ThermocoupleType> thermocouple; // as the header says
};

struct LogLayout {
    char delimiter = ',';
    bool decimal_comma = false;
    bool header = false;
    bool day_first = true;
    TimeForm time_form = TimeForm::number;
    std::optional<double> time_unit_s; // of plain numbers, as the header says
    std::vector<LogColumn> columns;
    std::size_t sensors = 0;
    std::vector<LogAssumption> assumptions;
    std::vector<LogProblem> problems;
};

// `lines`: the first ones of the log, remarks and empty ones with them.
LogLayout find_layout(const std::vector<std::string_view>& lines, const LogOptions& options);

// A line that holds no reading: empty, or a remark.
bool is_remark(std::string_view line);

} // namespace fettle
