// The curve of a firing as SVG: axes with units, the phases by name, cones where they fall, and
// what takes the kiln's own time dashed, so that nobody takes it for a promise. Other curves can be
// laid over it: what a model predicts, what a log holds, another firing.
//
// Everything is told by line style and words as well as by colour.
#pragma once

#include "compiler/units/quantity.h"
#include "runtime/schedule/schedule.h"

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace fettle {

// A place on a curve. Time from the start of the first segment, after any delay.
struct CurvePoint {
    double time_s = 0;
    double temperature_c = 0;
};

enum class OverlayStyle : std::uint8_t {
    predicted, // by a model of the kiln: fine dashes
    logged,    // what was measured: a thin line
    other,     // another firing: long and short dashes
};

struct CurveOverlay {
    std::string_view label; // "as the kiln model expects"
    OverlayStyle style = OverlayStyle::predicted;
    std::vector<CurvePoint> points; // ascending in time; a straight line between them
};

// A cone that falls there.
struct CurveCone {
    CurvePoint at;
    std::string label; // "cone 6"
};

// A band to stay in; both edges ascending in time.
struct CurveCorridor {
    std::vector<CurvePoint> upper, lower;
    std::string_view label;
};

struct CurveSvgOptions {
    double width = 720, height = 300; // CSS pixels, in which its text is 11 high
    Scale scale = Scale::celsius;
    // Time of day at which the first segment starts: then the axis has clock times as well.
    std::optional<double> first_segment_clock_s;
    std::string_view title;        // what it is, for who can't see it; empty: "Firing curve"
    std::string_view id = "curve"; // letters; another one for each picture of a page
    std::vector<CurveCone> cones;
    std::vector<CurveOverlay> overlays;
    std::optional<CurveCorridor> corridor;
};

// An `<svg>` for a page made by html_page.h, which has its style sheet.
void append_curve_svg(std::string& html, const Schedule& schedule, const CurveSvgOptions& options);

// A file by itself.
std::string curve_svg_file(const Schedule& schedule, const CurveSvgOptions& options);

// The curve as points: the ends of its segments and, where a kiln left to itself falls fast at
// first, some between. `known` is how many from the front are at true or estimated times; the
// others only have some width to be seen.
struct CurvePoints {
    std::vector<CurvePoint> points;
    std::size_t known = 0;
};
CurvePoints curve_points(const Schedule& schedule);

} // namespace fettle
