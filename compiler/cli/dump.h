// `--dump STAGE`: what a stage of the compiler hands to the next.
#pragma once

#include "compiler/cli/reading.h"

namespace fettle {

void declare_dump(Arguments& arguments, std::string& stage);
// Prints the data after `stage` on stdout, and what is wrong up to there on stderr.
ExitCode dump_stage(Reading& reading, const ReadingOptions& options, const std::string& stage);

} // namespace fettle
