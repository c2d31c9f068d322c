// A glaze for machines and for paper: JSON, CSV, a card.
#pragma once

#include "compiler/lowering/glaze_report.h"
#include "compiler/source/json_writer.h"

#include <optional>
#include <string>

namespace fettle {

// docs/glaze.schema.json describes it. `batch`: with a batch sheet in it.
void append_glaze_json(std::string& text, const GlazeReport& report,
                       const std::optional<Batch>& batch, JsonLayout layout);

// A row for each oxide; with a batch, a row for each material instead. `header`: with the names of
// the columns.
std::string glaze_csv(const GlazeReport& report, bool header);
std::string batch_csv(const GlazeReport& report, const Batch& batch, bool header);

// One page of HTML for the wall and the glaze room.
std::string glaze_card(const GlazeReport& report, const std::optional<Batch>& batch);

} // namespace fettle
