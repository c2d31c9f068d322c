#include "runtime/log/inquest.h"

#include <algorithm>

namespace fettle {
namespace {

Says weigh(const CauseRow& row, std::optional<double> found) {
    if (!found)
        return Says::nothing;
    const bool beyond = row.at_least ? *found >= row.threshold : *found <= row.threshold;
    return beyond ? Says::supports : Says::contradicts;
}

} // namespace

Inquest inquire(std::string_view defect, std::span<const CauseRow> table,
                const Measures& measures) {
    Inquest inquest{.defect = std::string(defect)};
    for (const CauseRow& row : table) {
        if (row.defect != defect)
            continue;
        auto at = std::find_if(inquest.causes.begin(), inquest.causes.end(),
                               [&](const Cause& cause) { return cause.cause == row.cause; });
        if (at == inquest.causes.end()) {
            inquest.causes.push_back(
                {.cause = row.cause, .remedy = row.remedy, .score = row.prior});
            at = inquest.causes.end() - 1;
        }
        Evidence evidence{.row = &row};
        if (const auto measured = measures.find(row.measure); measured != measures.end())
            evidence.found = measured->second;
        evidence.says = weigh(row, evidence.found);
        if (evidence.says == Says::supports) {
            at->score += row.weight;
            at->supported = true;
        } else if (evidence.says == Says::contradicts) {
            at->score -= row.weight;
        }
        at->evidence.push_back(evidence);
    }
    std::stable_sort(inquest.causes.begin(), inquest.causes.end(),
                     [](const Cause& a, const Cause& b) { return a.score > b.score; });
    return inquest;
}

std::vector<std::string_view> defects_of(std::span<const CauseRow> table) {
    std::vector<std::string_view> defects;
    for (const CauseRow& row : table) {
        if (std::find(defects.begin(), defects.end(), row.defect) == defects.end())
            defects.push_back(row.defect);
    }
    return defects;
}

} // namespace fettle
