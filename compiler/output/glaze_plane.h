// Where a glaze lies among silica and alumina: alumina across, silica up, in moles for one mole of
// fluxes, with the lines that a source gives. The lines are fans from the origin, each one ratio.
#pragma once

#include "compiler/lowering/glaze_report.h"

#include <string>
#include <vector>

namespace fettle {

// The part of the plane that is drawn.
struct PlaneView {
    double alumina = 0, silica = 0; // the far corner; the near one is the origin
    double alumina_step = 0, silica_step = 0;
};
PlaneView plane_view(const GlazeReport& report);

// Lines of text, no wider than `width`.
std::vector<std::string> plane_plot(const GlazeReport& report, std::size_t width, bool ascii);
// An <svg> element; with `standalone`, a whole file.
std::string plane_svg(const GlazeReport& report, bool standalone);
// What the lines hold for, in a sentence or two.
std::string plane_words(const GlazeReport& report);

} // namespace fettle
