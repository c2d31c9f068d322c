// A table of pyrometric cones as published: at which temperature each falls for a steady climb.
// The tables are data of the standard library; nothing here knows a figure.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace fettle {

// Which form of cone a figure is for: the same number falls elsewhere in another form.
enum class ConeKind : std::uint8_t {
    large, // self-supporting, or large in a plaque, on the shelf beside the ware
    small, // half as tall; also in an automatic shut-off
    bar,   // a bar of the same mix across the supports of an automatic shut-off
    high,  // small cones of the tests of refractories (ASTM C24, ISO 528)
};

// A cone is its position on the scale: 022 is −22, 05½ is −5.5, 6 is 6, 31½ is 31.5.
struct ConeRow {
    double cone = 0;
    std::optional<double> rate_k_per_h; // steady, over the last 100 K; nothing where none is given
    double end_c = 0;
    ConeKind kind = ConeKind::large;
    bool from_memory = false;     // not seen again in print
    std::uint16_t source = 0;     // indices in ConeTable::texts
    std::uint16_t confidence = 0; // as the table words it
};

struct ConeTable {
    std::vector<ConeRow> rows;
    std::vector<std::string> texts;
};

// What is wrong with, or missing from, a table.
struct ConeTableProblem {
    enum class Kind : std::uint8_t {
        // A table with one of these gives no scale at all.
        no_rows,
        too_many_cones,
        too_many_rates,  // for one cone
        out_of_range,    // an end point outside 100..2500 C, a rate outside 1..3000 K/h
        repeated,        // the same cone and rate twice
        falls_with_rate, // a faster climb ends no hotter; `other_value` is the slower end point
        out_of_order,    // a hotter cone ends no hotter than `other_cone` at the same rate
        // With these the scale is good, and the reader should know.
        hole,         // `other_cone` (whole) is missing below `cone`
        missing_rate, // most cones have a figure at `rate_k_per_h`, this one has none
        rate_unknown, // the row names no rate; the fit assumes one
        uneven,       // no smooth curve runs through the figures; the fit keeps its two parameters
    } kind;
    double cone = 0;
    double other_cone = 0;
    double rate_k_per_h = 0;
    double value = 0;
    double other_value = 0;
};

bool spoils_the_table(ConeTableProblem::Kind kind);

// Everything wrong with the table itself (`uneven` is found by the fit), coldest cone first.
std::vector<ConeTableProblem> check_cone_table(const ConeTable& table);

// `table` with those rows of `high` whose cones are hotter than any of its own.
ConeTable with_hotter_cones(const ConeTable& table, const ConeTable& high);

} // namespace fettle
