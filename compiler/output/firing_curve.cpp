#include "compiler/output/firing_curve.h"

#include <fmt/format.h>

namespace fettle {

CurveSvgOptions curve_options(const FiringDocument& document, const OutputOptions& options) {
    CurveSvgOptions curve;
    curve.scale = options.scale;
    curve.title = document.title.empty() ? document.name : document.title;
    if (options.start_clock_s) {
        curve.first_segment_clock_s = *options.start_clock_s + document.schedule->delay_s;
    }
    for (const ConeExpected& cone : document.cones_expected) {
        if (cone.falls && cone.falls_s) {
            curve.cones.push_back({{*cone.falls_s, cone.at_c}, fmt::format("cone {}", cone.cone)});
        }
    }
    return curve;
}

std::string curve_file(const FiringDocument& document, const OutputOptions& options) {
    return curve_svg_file(*document.schedule, curve_options(document, options));
}

} // namespace fettle
