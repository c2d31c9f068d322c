// A recipe that was worked out from a unity formula.
#pragma once

#include "compiler/chemistry/remake.h"

#include <string>
#include <vector>

namespace fettle {

struct RecipeReport {
    std::string name;                   // of the glaze that it would be
    std::vector<std::string> materials; // in the order of Remade::parts
    double fluxes_given = 1;            // what the fluxes of the formula came to, as it was given
    const ChemistryTables* tables = nullptr;
    Remade remade;
};

// The recipe as a declaration to paste, then what was wanted beside what is made.
std::string recipe_text(const RecipeReport& report);
void append_recipe_json(std::string& text, const RecipeReport& report);

} // namespace fettle
