// The data of glaze chemistry, read from the tables of the standard library when the first glaze or
// material asks for them: atoms, oxides, factors of expansion, what leaves when.
#pragma once

#include <array>
#include <cstdint>
#include <mutex>
#include <string>
#include <string_view>
#include <vector>

namespace fettle {

inline constexpr std::size_t most_elements = 40, most_oxides = 32;
using OxideId = std::uint8_t;
inline constexpr OxideId no_oxide = 0xff;
// A number for each oxide, by OxideId; zero where there is none of it.
using PerOxide = std::array<double, most_oxides>;
// Atoms in a formula, by the place of their element in ChemistryTables::elements.
using Atoms = std::array<double, most_elements>;

struct Element {
    std::string symbol;
    double weight = 0; // g/mol
};

// What an oxide does in a glaze. The fluxes are the alkalis (R2O) and the earths (RO; zinc and lead
// count with them); colourants and opacifiers stand outside the sum of fluxes.
enum class OxideRole : std::uint8_t { alkali, earth, stabiliser, former, opacifier, colourant };
constexpr bool is_flux(OxideRole role) {
    return role == OxideRole::alkali || role == OxideRole::earth;
}

struct Oxide {
    std::string name;
    OxideRole role{};
    double molar_mass = 0; // g/mol, from the weights of its atoms
    std::size_t element = 0;
    double element_atoms = 0, oxygen_atoms = 0;
    std::string note;
};
// Another oxide of an element, as an analysis may give it: MnO2 counts as MnO.
struct OxideForm {
    std::string name;
    OxideId counts_as = no_oxide;
    double share = 0; // mass of that oxide from one of this; the rest is oxygen that leaves
};

// What a material gives off. `unknown`: a loss that nobody has told the nature of.
enum class Gas : std::uint8_t {
    water,
    carbon_dioxide,
    sulphur_oxides,
    fluorine,
    oxygen,
    other,
    unknown,
};
inline constexpr std::size_t gas_count = 7;
std::string_view to_string(Gas gas);  // "carbon dioxide"
Gas gas_named(std::string_view name); // "carbon_dioxide"; `unknown` for any other word

struct GasRow {
    Atoms atoms{}; // of the mineral
    std::string mineral;
    Gas gas{};
    double share = 1; // of this gas, where it leaves in steps
    double from_c = 0, to_c = 0;
    bool alone = false; // the temperatures are of the pure mineral; silica lowers them
    bool from_memory = false;
    std::string note, source;
};

// How a factor changes with what else is in the glass; the formulas stand in expansion.h.
enum class Variation : std::uint8_t {
    none,
    appen_silica,
    appen_boron,
    appen_titania,
    appen_lead,
    below_12_percent,
};
struct ExpansionSet {
    std::string name, title, range, source;
    bool cubical = false, by_mole = false;
    PerOxide factor{}; // 1e-7 per K: for each mass per cent, or (by_mole) for a pure oxide
    std::array<bool, most_oxides> has{};
    std::array<Variation, most_oxides> varies{};
    bool from_memory = false; // some of its factors are
};
inline constexpr std::size_t most_sets = 4;

struct ChemistryTables {
    std::vector<Element> elements;
    std::vector<Oxide> oxides; // in the order in which a unity formula is written
    std::vector<OxideForm> forms;
    std::vector<ExpansionSet> sets;
    std::vector<GasRow> gases;
    OxideId silica = no_oxide, alumina = no_oxide, boron = no_oxide, potash = no_oxide,
            soda = no_oxide;
    std::size_t oxygen = 0, hydrogen = 0, carbon = 0, sulphur = 0, fluorine = 0; // elements

    OxideId find_oxide(std::string_view name) const; // no_oxide: there is none
    const OxideForm* find_form(std::string_view name) const;
    // Names that an analysis may use.
    std::vector<std::string_view> analysis_names() const;
};

// Where the tables come from: the text of "data/oxides.csv". Texts must outlive what reads them.
using DataText = std::string_view (*)(std::string_view path);

// The tables, read once when first asked for; safe to ask from several threads.
class Chemistry {
  public:
    explicit Chemistry(DataText text_of) : data_(text_of) {}
    const ChemistryTables& tables() const;
    // What spoils the tables, which the tests of the standard library rule out; empty: nothing.
    const std::string& spoilt_by() const;
    std::string_view data(std::string_view path) const { return data_(path); }

  private:
    void read() const;
    DataText data_;
    mutable std::once_flag read_;
    mutable ChemistryTables tables_;
    mutable std::string spoilt_by_;
};

} // namespace fettle
