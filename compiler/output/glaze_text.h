// A glaze on the terminal: its unity formula as it is written in the trade, and what follows.
#pragma once

#include "compiler/lowering/glaze_report.h"

#include <string>

namespace fettle {

struct GlazeTextOptions {
    std::size_t width = 80;
    bool plain = false; // simple signs only
    bool colour = false;
};
std::string glaze_text(const GlazeReport& report, const GlazeTextOptions& options);
std::string batch_text(const GlazeReport& report, const Batch& batch,
                       const GlazeTextOptions& options);

// The members of a family side by side, and how their tiles stand.
std::string family_text(const FamilyReport& family, const GlazeTextOptions& options);

// Said beside every glaze: no sheet of figures tells whether a glaze may hold food.
extern const std::string_view food_contact_words;
// Said beside every estimate of expansion.
extern const std::string_view expansion_words;

} // namespace fettle
