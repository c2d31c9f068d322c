// What was learned of a kiln, for the terminal, with the profile to copy.
#pragma once

#include "runtime/calibrate/calibrate.h"

#include <string>
#include <vector>

namespace fettle {

std::string calibration_text(const std::string& kiln, const std::vector<std::string>& logs,
                             const Calibration& found, bool plain);

// The profile as Fettle source; only what the logs tell well. The day is left to the reader.
std::string calibrated_profile(const std::string& kiln, const Calibration& found);

} // namespace fettle
