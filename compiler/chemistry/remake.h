// Working backwards: the recipe of given materials that comes closest to a unity formula.
#pragma once

#include "compiler/chemistry/glaze.h"

#include <string>
#include <variant>

namespace fettle {

// "0.3 K2O 0.7 CaO 0.5 Al2O3 4 SiO2", commas or not: moles of each oxide. Where the fluxes do not
// sum to one, that is told and they are left so.
struct UnityText {
    PerOxide moles{};
    double fluxes = 0; // what they sum to
};
struct UnityTextProblem {
    std::size_t begin = 0, end = 0;
    std::string message; // "`AlO3` is no oxide"
};
std::variant<UnityText, UnityTextProblem> read_unity(const ChemistryTables& tables,
                                                     std::string_view text);

struct Remade {
    std::vector<double> parts; // of each material, by dry mass, of a hundred; 0: not needed
    PerOxide wanted{};         // moles for one mole of fluxes
    PerOxide made{};           // the same, of the recipe
    double rest = 0;           // length of the difference, in moles for one mole of fluxes
    bool exact = false;        // every oxide within 0.0005
    bool possible = false;     // there is a recipe at all, with a flux in it
};
inline constexpr double exact_within = 0.0005;

// `wanted` is scaled so that its fluxes sum to one.
Remade remake(const ChemistryTables& tables, const PerOxide& wanted,
              std::span<const MaterialChemistry* const> materials);

} // namespace fettle
