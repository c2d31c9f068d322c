#include "compiler/output/firing_curve.h"

namespace fettle {

CurveSvgOptions curve_options(const FiringDocument& document, const OutputOptions& options) {
    CurveSvgOptions curve;
    curve.scale = options.scale;
    curve.title = document.title.empty() ? document.name : document.title;
    if (options.start_clock_s) {
        curve.first_segment_clock_s = *options.start_clock_s + document.schedule->delay_s;
    }
    return curve;
}

std::string curve_file(const FiringDocument& document, const OutputOptions& options) {
    return curve_svg_file(*document.schedule, curve_options(document, options));
}

} // namespace fettle
