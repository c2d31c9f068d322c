// What the standard library tells about judging: how much heat work a cone has had by its looks,
// and what may be behind a defect.
#pragma once

#include "runtime/log/inquest.h"
#include "runtime/log/witness.h"

#include <string>
#include <string_view>
#include <variant>
#include <vector>

namespace fettle {

struct LookWord {
    std::string word; // "touching", "down"
    ConeLook look;
};

struct JudgingData {
    std::vector<ConeLookWork> looks;
    std::vector<LookWord> look_words; // the first of each look is the one that is printed
    std::vector<CauseRow> causes;
};

// From the texts of data/cone_readings.csv and data/defect_causes.csv; or what is wrong with them,
// for the person who keeps them.
std::variant<JudgingData, std::string> read_judging_data(std::string_view cone_readings,
                                                         std::string_view defect_causes);

std::string_view to_word(ConeLook look);

// "middle: cone 5 flat, cone 6 touching; bottom: cone 6 bending". A shelf holds until the next one
// is named. Or what is wrong with it, and what to write instead.
std::variant<std::vector<WitnessReading>, std::string> parse_witnesses(std::string_view text,
                                                                       const JudgingData& data);
// The same way round: "middle: cone 6 touching".
std::string witnesses_text(std::span<const WitnessReading> readings);

} // namespace fettle
