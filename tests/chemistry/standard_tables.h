// The tables of glaze chemistry as the compiler has them, read from the standard library's folder.
#pragma once

#include "compiler/chemistry/glaze.h"

#include <cmath>
#include <fstream>
#include <map>
#include <sstream>
#include <string>

namespace fettle {

inline std::string_view standard_text(std::string_view path) {
    static std::map<std::string, std::string, std::less<>> texts;
    const auto [place, fresh] = texts.try_emplace(std::string(path));
    if (fresh) {
        std::ifstream file(FETTLE_SOURCE_DIR "/stdlib/" + std::string(path), std::ios::binary);
        std::ostringstream all;
        all << file.rdbuf();
        place->second = all.str();
    }
    return place->second;
}

inline const Chemistry& standard_chemistry() {
    static const Chemistry chemistry(standard_text);
    return chemistry;
}
inline const ChemistryTables& standard_tables() {
    return standard_chemistry().tables();
}

inline Atoms atoms_of(std::string_view formula) {
    const auto read = parse_formula(standard_tables(), formula);
    const auto* atoms = std::get_if<Atoms>(&read);
    return atoms == nullptr ? Atoms{} : *atoms;
}
inline FiredFormula fired(std::string_view formula) {
    return fire(standard_tables(), atoms_of(formula));
}
inline double in(const PerOxide& amounts, std::string_view oxide) {
    const OxideId id = standard_tables().find_oxide(oxide);
    return id == no_oxide ? std::nan("") : amounts[id];
}

// A glaze of minerals by their formulas.
class Mix {
  public:
    Mix& add(std::string_view formula, double parts) {
        materials_.push_back(material_of_formula(standard_tables(), atoms_of(formula)));
        parts_.push_back(parts);
        return *this;
    }
    std::vector<Portion> portions() const {
        std::vector<Portion> all;
        for (std::size_t i = 0; i < parts_.size(); ++i)
            all.push_back({&materials_[i], parts_[i]});
        return all;
    }
    GlazeChemistry analysed() const { return analyse(standard_tables(), portions()); }

  private:
    std::vector<MaterialChemistry> materials_;
    std::vector<double> parts_;
};

} // namespace fettle
