#include "runtime/heatwork/cone_table.h"

#include "runtime/heatwork/cone_kinetics.h"

#include <algorithm>
#include <cmath>
#include <set>

namespace fettle {
namespace {

using Kind = ConeTableProblem::Kind;

// No whole cones of these numbers exist.
bool is_missing_from_every_scale(int number) {
    return number == 0 || number == 21 || number == 22 || number == 24 || number == 25;
}

std::vector<ConeRow> sorted(const ConeTable& table) {
    std::vector<ConeRow> rows = table.rows;
    std::stable_sort(rows.begin(), rows.end(), [](const ConeRow& a, const ConeRow& b) {
        if (a.cone != b.cone)
            return a.cone < b.cone;
        return a.rate_k_per_h.value_or(0) < b.rate_k_per_h.value_or(0);
    });
    return rows;
}

bool in_range(const ConeRow& row) {
    const double rate = row.rate_k_per_h.value_or(60);
    return row.end_c >= 100 && row.end_c <= 2500 && rate >= 1 && rate <= 3000 &&
           std::abs(row.cone) <= 50;
}

std::vector<ConeTableProblem> check_ranges(const ConeTable& table) {
    std::vector<ConeTableProblem> problems;
    for (const ConeRow& row : table.rows)
        if (!in_range(row))
            problems.push_back(
                {Kind::out_of_range, row.cone, 0, row.rate_k_per_h.value_or(0), row.end_c, 0});
    return problems;
}

void check_same_cone(const ConeRow& slow, const ConeRow& fast,
                     std::vector<ConeTableProblem>& problems) {
    const double rate = fast.rate_k_per_h.value_or(0);
    if (slow.rate_k_per_h == fast.rate_k_per_h)
        problems.push_back({Kind::repeated, fast.cone, fast.cone, rate, fast.end_c, slow.end_c});
    else if (fast.end_c <= slow.end_c)
        problems.push_back(
            {Kind::falls_with_rate, fast.cone, fast.cone, rate, fast.end_c, slow.end_c});
}

void check_hole(double colder, double hotter, std::vector<ConeTableProblem>& problems) {
    for (int n = static_cast<int>(std::floor(colder)) + 1; n < hotter; ++n)
        if (!is_missing_from_every_scale(n))
            problems.push_back({Kind::hole, hotter, static_cast<double>(n), 0, 0, 0});
}

void check_order(const std::vector<ConeRow>& rows, double rate,
                 std::vector<ConeTableProblem>& problems) {
    const ConeRow* colder = nullptr;
    for (const ConeRow& row : rows) {
        if (row.rate_k_per_h.value_or(0) != rate)
            continue;
        if (colder && row.cone != colder->cone && row.end_c <= colder->end_c)
            problems.push_back(
                {Kind::out_of_order, row.cone, colder->cone, rate, row.end_c, colder->end_c});
        colder = &row;
    }
}

// A rate counts as common when more than half of the cones have it.
void check_missing_rate(const std::vector<ConeRow>& rows, const std::set<double>& cones,
                        double rate, std::vector<ConeTableProblem>& problems) {
    std::set<double> with;
    for (const ConeRow& row : rows)
        if (row.rate_k_per_h == rate)
            with.insert(row.cone);
    if (2 * with.size() <= cones.size())
        return;
    for (const double cone : cones)
        if (!with.contains(cone))
            problems.push_back({Kind::missing_rate, cone, 0, rate, 0, 0});
}

// What a row says by itself and beside the one before it.
void check_neighbours(const std::vector<ConeRow>& rows, std::vector<ConeTableProblem>& problems) {
    std::size_t rates_of_cone = 0;
    for (std::size_t i = 0; i < rows.size(); ++i) {
        const ConeRow& row = rows[i];
        if (!row.rate_k_per_h)
            problems.push_back({Kind::rate_unknown, row.cone, 0, 0, row.end_c, 0});
        const bool same = i > 0 && row.cone == rows[i - 1].cone;
        rates_of_cone = same ? rates_of_cone + 1 : 1;
        if (rates_of_cone == max_rates + 1)
            problems.push_back({Kind::too_many_rates, row.cone});
        if (same)
            check_same_cone(rows[i - 1], row, problems);
        if (i > 0 && !same)
            check_hole(rows[i - 1].cone, row.cone, problems);
    }
}

} // namespace

bool spoils_the_table(Kind kind) {
    return kind < Kind::hole;
}

std::vector<ConeTableProblem> check_cone_table(const ConeTable& table) {
    if (table.rows.empty())
        return {{Kind::no_rows}};
    // Figures that are no figures can't be put in order.
    std::vector<ConeTableProblem> problems = check_ranges(table);
    if (!problems.empty())
        return problems;
    const std::vector<ConeRow> rows = sorted(table);
    check_neighbours(rows, problems);
    std::set<double> cones, rates;
    for (const ConeRow& row : rows) {
        cones.insert(row.cone);
        rates.insert(row.rate_k_per_h.value_or(0));
    }
    if (cones.size() > max_cones)
        problems.push_back({Kind::too_many_cones});
    for (const double rate : rates) {
        check_order(rows, rate, problems);
        if (rate > 0)
            check_missing_rate(rows, cones, rate, problems);
    }
    std::stable_sort(problems.begin(), problems.end(),
                     [](const auto& a, const auto& b) { return a.cone < b.cone; });
    return problems;
}

ConeTable with_hotter_cones(const ConeTable& table, const ConeTable& high) {
    ConeTable joined = table;
    double hottest = -1000;
    for (const ConeRow& row : table.rows)
        hottest = std::max(hottest, row.cone);
    const auto offset = static_cast<std::uint16_t>(joined.texts.size());
    joined.texts.insert(joined.texts.end(), high.texts.begin(), high.texts.end());
    for (ConeRow row : high.rows) {
        if (row.cone <= hottest)
            continue;
        row.source = static_cast<std::uint16_t>(row.source + offset);
        row.confidence = static_cast<std::uint16_t>(row.confidence + offset);
        joined.rows.push_back(row);
    }
    return joined;
}

} // namespace fettle
