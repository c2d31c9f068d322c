// An inquest: what may have caused a defect, ranked by what log, cones and schedule say. Never a
// certainty: a cause is what people who fire have found behind such a defect, and the evidence only
// makes it more or less likely here.
//
// Causes are data (data/defect_causes.csv): each with pieces of evidence, a measure and the value
// beyond which it speaks for the cause. Measures are numbers that the caller has worked out; one
// that is not known says nothing either way.
#pragma once

#include <cstdint>
#include <map>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace fettle {

struct CauseRow {
    std::string defect;
    std::string cause;    // one sentence
    double prior = 0;     // how often it is behind this defect, before any evidence
    std::string measure;  // empty: nothing here can speak for it or against it
    bool at_least = true; // speaks for it from the threshold on; otherwise up to it
    double threshold = 0;
    double weight = 1;
    std::string reason; // why this measure tells
    std::string remedy; // what to do next time
    std::string source;
};

enum class Says : std::uint8_t { nothing, supports, contradicts };

struct Evidence {
    const CauseRow* row = nullptr;
    std::optional<double> found;
    Says says = Says::nothing;
};

struct Cause {
    std::string_view cause;
    std::string_view remedy;
    double score = 0;       // the prior, with the weights that speak for it less those against it
    bool supported = false; // some evidence speaks for it
    std::vector<Evidence> evidence;
};

struct Inquest {
    std::string defect;
    std::vector<Cause> causes; // the likeliest first
};

using Measures = std::map<std::string, double, std::less<>>;

// Rows must outlive the answer. No causes: the table does not know the defect.
Inquest inquire(std::string_view defect, std::span<const CauseRow> table, const Measures& measures);

// The defects that the table knows, in its order.
std::vector<std::string_view> defects_of(std::span<const CauseRow> table);

} // namespace fettle
