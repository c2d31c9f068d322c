// Cone tables from the CSV files of the standard library.
#pragma once

#include "runtime/heatwork/cone_fit.h"
#include "runtime/heatwork/cone_table.h"

#include <cstdint>
#include <string>
#include <string_view>
#include <variant>

namespace fettle {

// Why a text is no cone table.
struct ConeDataProblem {
    enum class Kind : std::uint8_t {
        missing_column, // `text` names it
        unclosed_quote,
        short_row,    // fewer fields than the header
        unknown_cone, // `text` is no cone
        bad_number,   // `text` is no number
    } kind;
    std::uint32_t line = 0; // from 1
    std::string text;
};

// Columns (in any order, others are ignored): cone, rate_c_per_h (may be empty: not known), end_c,
// source, confidence. RFC 4180: fields may be quoted. A confidence that says "from memory" marks
// the row. What the figures themselves say wrong is found by check_cone_table().
std::variant<ConeTable, ConeDataProblem> read_cone_table(std::string_view csv, ConeKind kind);

// The scale on which a cone in a firing is meant: the large cones, and above them the high ones.
ConeFit fit_shelf_cones(const ConeTable& large, const ConeTable& high);

// In which forms a cone is sold, by the tables that have it.
struct ConeForms {
    bool large = false, small = false, high = false;
};
ConeForms sold_as(double cone, const ConeTable& large, const ConeTable& small,
                  const ConeTable& high);

} // namespace fettle
