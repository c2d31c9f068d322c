// The controller's table on the terminal: what is keyed, in its own form and scale.
#pragma once

#include "compiler/lowering/document.h"
#include "compiler/output/page.h"
#include "compiler/output/show.h"

namespace fettle {

// Nothing where the document has no steps.
void put_controller_table(Page& page, const FiringDocument& document, const ShowOptions& options);

// What one row is to be keyed as, each text empty where its form has no such key: "1h5m", "85C",
// "60C/h", "10m". In the scale of the controller, whatever the reader's.
struct PrintedKeys {
    std::string time, target, rate, soak;
};
PrintedKeys printed_keys(const StepRow& row, const Steps& steps);

// "Rounded: at most 0.5C off; heat work 0.01 of a cone less"
std::string deviation_line(const Steps& steps, Scale scale);
// "Key step 3 with most care: 10C more here is half a cone more"; empty: no step is so costly.
std::string care_line(const Steps& steps);

} // namespace fettle
