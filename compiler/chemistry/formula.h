// Chemical formulas as they are written on a page: `KAlSi3O8`, `Al2Si2O5(OH)4`, `CaSO4·2H2O`,
// `K2O·Al2O3·6SiO2`; what they weigh, and what oxides and gases they give in the fire.
#pragma once

#include "compiler/chemistry/tables.h"

#include <string>
#include <variant>

namespace fettle {

// Why a text is no formula; `begin` and `end` are byte offsets in it.
struct FormulaProblem {
    enum class Kind : std::uint8_t {
        empty,
        unknown_element,  // `text` is no element, or none that the tables have
        unclosed_bracket, // opened at `begin`
        stray_bracket,
        bad_number, // nothing, or out of bounds
        unexpected, // a sign that no formula has
    } kind{};
    std::size_t begin = 0, end = 0;
    std::string text;
};
std::string describe(const FormulaProblem& problem); // "there is no element `Xy`"

// Numbers of atoms; subscripts may have decimals (`Na0.33`). The parts of a hydrate stand between
// `·`, `*`, or a point before an oxide or water, each with a number in front or none: `CaSO4.2H2O`.
std::variant<Atoms, FormulaProblem> parse_formula(const ChemistryTables& tables,
                                                  std::string_view text);

double molar_mass(const ChemistryTables& tables, const Atoms& atoms); // g/mol

// What is left of a formula in the fire, in air.
//
// Metals become the oxides of the table. Iron and copper become FeO and Cu2O where the formula has
// just the oxygen for that (ilmenite), and Fe2O3 and CuO everywhere else; oxygen that is missing
// then is taken up from the air, and counts as a loss below zero (magnetite). Hydrogen leaves as
// water, carbon as carbon dioxide, sulphur as sulphur oxides; fluorine leaves, and oxygen takes its
// place.
struct FiredFormula {
    double molar_mass = 0;               // g/mol of the formula
    PerOxide moles{};                    // of each oxide, from one mole of the formula
    PerOxide share{};                    // of each oxide, by mass of the raw material
    std::array<double, gas_count> gas{}; // by mass of the raw material
    double loss = 0;                     // their sum; below 0: gains oxygen
};
FiredFormula fire(const ChemistryTables& tables, const Atoms& atoms);

// Whether two formulas are of one substance: the same atoms in the same proportions.
bool same_substance(const Atoms& a, const Atoms& b);

} // namespace fettle
