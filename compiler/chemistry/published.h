// Published limits of unity formulas by cone, the silica–alumina plane, and what is hazardous: data
// of the standard library that only a report on a glaze asks for.
#pragma once

#include "compiler/chemistry/glaze.h"

#include <string>
#include <vector>

namespace fettle {

// One oxide of a limit formula; `oxide` may be `KNaO`. Moles for one mole of fluxes.
struct OxideLimit {
    std::string oxide;
    double least = 0, most = 0;
    double found = 0;
    bool held() const { return found >= least && found <= most; }
};
// What one author gives for one kind of glaze, between two cones (places on the cone scale).
struct LimitFormula {
    std::string author, glaze_type, source;
    double cone_from = 0, cone_to = 0;
    bool from_memory = false;
    std::vector<OxideLimit> oxides;

    std::size_t held() const;
    bool all_held() const { return held() == oxides.size(); }
};
// The limit formulas whose cones meet those of the glaze, with what is found in it; those first
// that are held best. Formulas of lead glazes are left out for a glaze without any.
std::vector<LimitFormula> compare_with_limits(const Chemistry& chemistry,
                                              const GlazeChemistry& glaze, double cone_from,
                                              double cone_to);

// A line from the origin of the plane of alumina (across) and silica (up): silica = ratio ·
// alumina.
struct PlaneLine {
    std::string title, source;
    double ratio = 0, cone = 0;
    bool from_memory = false;
};
// Lines that a source gives for fluxes of 0.3 K2O and 0.7 CaO; weak and undigitised boundaries are
// not among them.
std::vector<PlaneLine> plane_lines(const Chemistry& chemistry);

struct OxideHazard {
    std::string what;  // an oxide or a gas
    std::string where; // "studio", "fire", "use"
    std::string words, source;
};
// The hazards of what is in the fired glaze, or leaves it.
std::vector<OxideHazard> hazards_of(const Chemistry& chemistry, const GlazeChemistry& glaze,
                                    const std::vector<GasRelease>& releases);

} // namespace fettle
