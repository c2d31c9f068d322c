#include "compiler/ceramics/cone_data.h"

#include "compiler/source/csv_reader.h"
#include "compiler/units/quantity.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <optional>
#include <vector>

namespace fettle {
namespace {

using Problem = ConeDataProblem;

enum Column : std::size_t { cone, rate, end, source, confidence, column_count };
constexpr std::array<std::string_view, column_count> column_names = {
    "cone", "rate_c_per_h", "end_c", "source", "confidence"};

std::optional<double> number_of(const std::string& text) {
    double value = 0;
    const char* const last = text.data() + text.size();
    const auto [stop, error] = std::from_chars(text.data(), last, value);
    if (error != std::errc{} || stop != last)
        return std::nullopt;
    return value;
}

std::uint16_t intern(std::vector<std::string>& texts, const std::string& text) {
    const auto place = std::find(texts.begin(), texts.end(), text) - texts.begin();
    if (place == std::ssize(texts))
        texts.push_back(text);
    return static_cast<std::uint16_t>(place);
}

using Places = std::array<std::size_t, column_count>;

std::optional<Problem> add_row(ConeTable& table, const CsvLine& line, const Places& at,
                               ConeKind kind) {
    for (const std::size_t place : at)
        if (place >= line.fields.size())
            return Problem{Problem::Kind::short_row, line.number, ""};
    const std::string& cone_text = line.fields[at[cone]];
    const std::string& rate_text = line.fields[at[rate]];
    const std::string& end_text = line.fields[at[end]];
    const auto position = parse_cone(cone_text);
    const auto rate_value = number_of(rate_text);
    const auto end_value = number_of(end_text);
    if (!position)
        return Problem{Problem::Kind::unknown_cone, line.number, cone_text};
    if (!rate_value && !rate_text.empty())
        return Problem{Problem::Kind::bad_number, line.number, rate_text};
    if (!end_value)
        return Problem{Problem::Kind::bad_number, line.number, end_text};
    const std::string& sure = line.fields[at[confidence]];
    table.rows.push_back({.cone = *position,
                          .rate_k_per_h = rate_value,
                          .end_c = *end_value,
                          .kind = kind,
                          .from_memory = sure.find("from memory") != std::string::npos,
                          .source = intern(table.texts, line.fields[at[source]]),
                          .confidence = intern(table.texts, sure)});
    return std::nullopt;
}

} // namespace

std::variant<ConeTable, ConeDataProblem> read_cone_table(std::string_view csv, ConeKind kind) {
    std::uint32_t number = 1;
    const CsvLine header = next_csv_line(csv, number);
    Places at{};
    for (std::size_t i = 0; i < column_count; ++i) {
        const auto& names = header.fields;
        const auto found = std::find(names.begin(), names.end(), column_names[i]);
        if (found == names.end())
            return Problem{Problem::Kind::missing_column, 1, std::string(column_names[i])};
        at[i] = static_cast<std::size_t>(found - names.begin());
    }
    ConeTable table;
    while (!csv.empty()) {
        const CsvLine line = next_csv_line(csv, number);
        if (line.unclosed)
            return Problem{Problem::Kind::unclosed_quote, line.number, ""};
        if (line.is_blank())
            continue;
        if (auto problem = add_row(table, line, at, kind))
            return *problem;
    }
    return table;
}

ConeFit fit_shelf_cones(const ConeTable& large, const ConeTable& high) {
    return fit_cones(with_hotter_cones(large, high));
}

ConeForms sold_as(double position, const ConeTable& large, const ConeTable& small,
                  const ConeTable& high) {
    const auto has = [position](const ConeTable& table) {
        return std::any_of(table.rows.begin(), table.rows.end(),
                           [position](const ConeRow& row) { return row.cone == position; });
    };
    return {.large = has(large), .small = has(small), .high = has(high)};
}

} // namespace fettle
