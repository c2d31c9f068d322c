// What is wrong, as commands tell it: the text for people, and the exit code.
#pragma once

#include "compiler/cli/exit_code.h"
#include "compiler/cli/terminal.h"
#include "compiler/source/diagnostic.h"

#include <string>

namespace fettle {

struct ReportStyle {
    bool errors_only = false;
    bool plain = false; // no colours, even on a terminal
};

// As wide as that channel's terminal; empty where there is nothing to tell.
std::string rendered_text(const Sources& sources, const Diagnostics& diagnostics, Channel channel,
                          ReportStyle style = {});

// `well`, `errors`, or `unreadable` where a file was.
ExitCode exit_code(const Diagnostics& diagnostics);

} // namespace fettle
