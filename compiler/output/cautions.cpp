#include "compiler/output/cautions.h"

#include "runtime/schedule/curve.h"

namespace fettle {

namespace {

struct Facts {
    Fuel fuel;
    bool reduction;
    bool opened;
    bool passes_boiling;
};

struct Caution {
    std::string_view text;
    bool (*applies)(const Facts&);
};

bool always(const Facts&) {
    return true;
}

// Common practice of kiln rooms; none of it replaces the kiln maker's own instructions.
constexpr Caution all_cautions[] = {
    {"Never leave a firing unattended on the word of a table; be there at the top.", always},
    {"Ventilate the kiln room: fumes and carbon monoxide give little warning.", always},
    {"Burning fuel makes carbon monoxide: have an alarm, and never a closed room.",
     [](const Facts& facts) { return facts.fuel == Fuel::gas || facts.fuel == Fuel::wood; }},
    {"Reduction fills a kiln with carbon monoxide and unburnt gas: never below 800C.",
     [](const Facts& facts) { return facts.reduction; }},
    {"Reduction ruins electric elements unless the kiln's maker allows for it.",
     [](const Facts& facts) {
         return facts.reduction && (facts.fuel == Fuel::electric || facts.fuel == Fuel::unknown);
     }},
    {"Opening a hot kiln: power or gas off, face and hands shielded, nobody near.",
     [](const Facts& facts) { return facts.opened; }},
    {"Damp ware bursts when its water boils: load only what is dry.",
     [](const Facts& facts) { return facts.passes_boiling; }},
    {"A kiln's outside burns skin and what stands near: keep the clearances.", always},
    {"Have a cut-out against over-temperature that is not part of the controller.",
     [](const Facts& facts) { return facts.fuel != Fuel::wood; }},
    {"The kiln maker's limits, local codes, licensed electricians and gas fitters come first.",
     always},
};

} // namespace

std::vector<std::string_view> cautions(const FiringDocument& document) {
    const Curve curve(*document.schedule, Estimates::ignore, Naming::no);
    Facts facts{.fuel = document.fuel,
                .reduction = curve.uses(Atmosphere::reduction).value == 1,
                .opened = false,
                .passes_boiling = *curve.peak().value > 100 && document.schedule->start_c < 100};
    for (const Segment& segment : document.schedule->segments) {
        facts.opened = facts.opened || segment.kind == SegmentKind::opened;
    }
    std::vector<std::string_view> applying;
    applying.reserve(std::size(all_cautions));
    for (const Caution& caution : all_cautions) {
        if (caution.applies(facts)) {
            applying.push_back(caution.text);
        }
    }
    return applying;
}

} // namespace fettle
