// A firing on the terminal: what to do before the start, the table by phase, the totals, the curve,
// the rules that are not kept, and the cautions. Made to be read without colour, at any width from
// 60 columns.
#pragma once

#include "compiler/lowering/document.h"
#include "compiler/output/curve_plot.h"

#include <optional>
#include <string>

namespace fettle {

struct ShowOptions {
    Scale scale = Scale::celsius;
    std::size_t width = 80;        // columns; less than 60 is shown as 60
    std::size_t curve_height = 17; // lines; 0: no curve
    bool plain = false;            // ASCII only, but for the texts of the firing itself
    bool braille = false;          // the curve in dots; not with `plain`
    bool colour = false;           // ANSI colours, which add emphasis but no meaning
    bool why = false;              // where each step came from, what phases are about, all rules
    // Time of day at which the program is started, in seconds after midnight; any delay comes
    // after.
    std::optional<double> start_clock_s;
};

// Lines end in "\n". Nothing in it moves a cursor or rings a bell, whatever the titles hold.
std::string show(const FiringDocument& document, const ShowOptions& options = {});

} // namespace fettle
