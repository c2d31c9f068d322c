// The curve of a firing drawn with the characters of a terminal: axes with units, the names of the
// phases under the time axis, and what takes the kiln's own time dashed, so that nobody takes it
// for a promise.
#pragma once

#include "compiler/units/quantity.h"
#include "runtime/schedule/schedule.h"

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace fettle {

enum class PlotStyle : std::uint8_t {
    ascii,   // any terminal, any font
    lines,   // box-drawing characters
    braille, // eight dots a character: the finest, where the font has them
};

struct PlotOptions {
    std::size_t width = 80;  // of all, axis labels included; at least 30 is drawn
    std::size_t height = 17; // of the curve without what is under it; at least 4 is drawn
    Scale scale = Scale::celsius;
    PlotStyle style = PlotStyle::lines;
    // Time of day at which the first segment starts: then there is a row of clock times as well.
    std::optional<double> first_segment_clock_s;
    // Another curve, in dots where nothing else stands; ascending in time. And what it means.
    struct Dot {
        double time_s = 0, temperature_c = 0;
    };
    std::vector<Dot> dotted;
    std::string dotted_meaning;
    bool dotted_fits =
        false; // the axes reach as far as the dots; else what lies beyond is left out
};

// Lines without line ends; none is wider than the width. No lines where there is nothing to draw.
std::vector<std::string> plot_curve(const Schedule& schedule, const PlotOptions& options);

} // namespace fettle
