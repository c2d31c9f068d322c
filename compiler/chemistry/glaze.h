// From materials to the chemistry of a glaze: oxides by mass and by mole, the unity formula, what
// is lost in the fire.
#pragma once

#include "compiler/chemistry/expansion.h"
#include "compiler/chemistry/formula.h"
#include "compiler/chemistry/tables.h"

#include <span>
#include <vector>

namespace fettle {

// One gas that a material gives off, between two temperatures (NaN: nobody has told).
struct GasStep {
    Gas gas = Gas::unknown;
    double share = 0; // of the mass of the dry material
    double from_c = 0, to_c = 0;
    bool alone = false; // temperatures of the pure mineral by itself: in a glaze it goes sooner
    bool from_memory = false;
};

struct MaterialChemistry {
    PerOxide share{};       // by mass, of the dry material as it is weighed
    double loss = 0;        // by mass; NaN: not known
    double unaccounted = 0; // what the analysis does not speak of, and is no loss either
    std::vector<GasStep> gases;
};

MaterialChemistry material_of_formula(const ChemistryTables& tables, const Atoms& atoms);
// By an analysis and a loss (NaN: not known). `mineral` is what it mainly is, if that is known: the
// loss is then taken to be of the same gases, at the same temperatures.
MaterialChemistry material_of_analysis(const ChemistryTables& tables, const PerOxide& share,
                                       double loss, const MaterialChemistry* mineral);
// Share of one analysis entry, which may be another form of an oxide (`MnO2`); false: no such
// oxide.
bool add_to_analysis(const ChemistryTables& tables, std::string_view name, double share,
                     PerOxide& into);

// An analysis and its loss may be this far from the whole, as those in print are.
inline constexpr double analysis_tolerance = 0.015;

struct Portion {
    const MaterialChemistry* material = nullptr;
    double parts = 0; // of dry material; above 0
};

struct GlazeChemistry {
    double parts = 0; // what the recipe and its additions come to
    PerOxide mass{};  // of the fired glaze; sums to one
    PerOxide moles{}; // of the fired glaze; sums to one
    PerOxide unity{}; // moles for one mole of fluxes
    bool has_flux = false;
    double loss = 0;               // of the dry glaze; NaN: not known
    double carbon_dioxide = 0;     // of the dry glaze; NaN: not known
    double unaccounted = 0;        // of the dry glaze
    double silica_per_alumina = 0; // by moles; NaN: no alumina
    double alkali_share = 0;       // of the fluxes, by moles
    double boron = 0;              // B2O3 in the unity formula
    // Gas that still leaves above red_heat_c: its share of the dry glaze, NaN: not known; the first
    // beginning and the last end, NaN: nothing leaves then, or not known.
    double late_loss = 0, gas_from_c = 0, gas_until_c = 0;
    std::array<ExpansionEstimate, most_sets> expansion{}; // in the order of ChemistryTables::sets
    // Portions that leave something unknown: its place among the portions, -1: none.
    int without_loss = -1, without_gas = -1, without_range = -1;
};
inline constexpr double red_heat_c = 700;
// Gas of less than this share of the glaze is passed over when temperatures are looked for.
inline constexpr double least_gas = 0.001;

// All of it, in one go. Portions of unknown loss count with their oxides.
GlazeChemistry analyse(const ChemistryTables& tables, std::span<const Portion> portions);

// What leaves, when, and from which portion: by temperature.
struct GasRelease {
    std::size_t portion = 0;
    GasStep step; // its share is that of the dry glaze
};
std::vector<GasRelease> gas_releases(std::span<const Portion> portions);

} // namespace fettle
