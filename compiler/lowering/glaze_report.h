// All that the outputs say about one glaze; made from its profile, and never computed further by an
// output.
#pragma once

#include "compiler/chemistry/published.h"
#include "compiler/meaning/program.h"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace fettle {

struct GlazeIngredient {
    std::string_view name, title;
    double parts = 0;     // as they stand in the recipe
    double percent = 0;   // of the base without additions
    double dry_share = 0; // of the whole dry glaze
    bool addition = false;
    std::optional<double> moisture; // of the material as it is weighed
};

struct GlazeGas {
    std::string_view material; // its title
    Gas gas{};
    double share = 0; // of the dry glaze
    std::optional<double> from_c, to_c;
    bool alone = false, from_memory = false;
};

struct GlazeHazard {
    std::string where; // "studio", "fire", "use"; empty: a material's own words
    std::string what;  // an oxide, or the title of a material
    std::string words, source;
};

struct GlazeReport {
    std::string name; // of a member of a family: with its number
    std::string_view title, about;
    std::string fires, atmosphere, surface, colour, seals; // as words; empty: not given
    std::vector<GlazeIngredient> ingredients;
    double base_parts = 0;     // what the recipe comes to, without additions
    double addition_parts = 0; // what the additions come to
    const ChemistryTables* tables = nullptr;
    GlazeChemistry chemistry;
    std::vector<GlazeGas> gases;      // in the order of temperature
    std::vector<LimitFormula> limits; // of the cones that it is fired to
    std::vector<PlaneLine> lines;     // of the silica–alumina plane
    std::vector<GlazeHazard> hazards;
    std::vector<std::string> remarks; // what the tool took or left out; whole sentences

    double silica() const { return chemistry.unity[tables->silica]; }
    double alumina() const { return chemistry.unity[tables->alumina]; }
};

// `profile` is that of a glaze with Profile::chemistry. Views are into the program.
GlazeReport report_on_glaze(const Program& program, const Chemistry& chemistry,
                            const Profile& profile);

// A family: what its members have in common, and each of them.
struct FamilyReport {
    std::string_view name, title, about;
    std::string fires, atmosphere;
    struct Member {
        std::string_view label;
        std::uint32_t row = 0, column = 0;
        GlazeReport report;
    };
    std::vector<Member> members; // numbered from 1 in this order
};
FamilyReport report_on_family(const Program& program, const Chemistry& chemistry,
                              const Profile& profile);

// A batch of a glaze, scaled to a weight of dry glaze.
struct BatchLine {
    std::string_view name, title;
    bool addition = false;
    double dry_kg = 0;
    double weigh_kg = 0; // with the water that it holds
    double total_kg = 0; // on the scales, of this and all before
    bool moisture_known = false;
};
struct Batch {
    double dry_kg = 0, water_kg = 0; // of the whole; water that comes with the materials
    std::vector<BatchLine> lines;
};
Batch batch_of(const GlazeReport& report, double dry_kg);

} // namespace fettle
