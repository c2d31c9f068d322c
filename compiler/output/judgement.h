// A judged firing as text for the terminal, as JSON for other programs, and as a card to print.
#pragma once

#include "compiler/judging/judge_firing.h"
#include "compiler/output/show.h"

#include <string>

namespace fettle {

// Lines end in "\n". Of the options, `why` adds the evidence that speaks against a cause; the clock
// is not asked.
std::string judgement_text(const JudgedFiring& judged, const ShowOptions& options);

// The document of docs/judgement.schema.json.
std::string judgement_json(const JudgedFiring& judged);

// A page of HTML by itself.
std::string judgement_card(const JudgedFiring& judged, Scale scale);

} // namespace fettle
