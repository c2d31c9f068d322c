// The expansion of a glaze from its oxides, by published sets of additive factors.
//
// α = Σ factor · share, the share by mass or by mole as the set says; cubical sets are divided by
// three. An estimate: the sets differ from one another by up to twofold, so only two glazes by one
// set are compared, and what is said of a glaze and a body is said when all sets agree.
#pragma once

#include "compiler/chemistry/tables.h"

namespace fettle {

struct ExpansionEstimate {
    double per_k = 0;       // linear
    double left_out = 0;    // of the mass: oxides that the set has no factor for
    bool stretched = false; // a factor was carried on past the range that it is given for

    // Enough of the glaze is covered to count.
    bool usable() const { return left_out <= 0.02; }
};

// `mass` and `moles` are shares that each sum to one. Factors that change with the rest of the
// glass (Appen; from memory, after Volf):
//   SiO2   38 up to 67 mol %, above 38 − (x − 67)
//   B2O3   12.5·(4 − ψ) − 50 for ψ of 1 to 4, −50 above; below 1 it is carried on at its value for
//   1
//          ψ = (Na2O + K2O + BaO + 0.7(CaO + SrO + CdO + PbO) + 0.3(Li2O + MgO + ZnO) − Al2O3) /
//          B2O3
//   TiO2   30 − 1.5·(x_SiO2 − 50), SiO2 from 50 to 80 mol %
//   PbO    130; with more than 3 mol % of alkalis 130 + 5·(R2O − 3), up to 190
// English & Turner's B2O3 is given for less than 12 % by mass; above that the estimate is marked.
ExpansionEstimate expansion_by(const ChemistryTables& tables, const ExpansionSet& set,
                               const PerOxide& mass, const PerOxide& moles);

} // namespace fettle
