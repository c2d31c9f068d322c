#include "compiler/chemistry/expansion.h"

#include <algorithm>

namespace fettle {
namespace {

constexpr double per_set_unit = 1e-7; // per kelvin

double silica_factor(double silica_percent) {
    return silica_percent <= 67 ? 38 : 38 - (silica_percent - 67);
}

class Varying {
  public:
    Varying(const ChemistryTables& tables, const PerOxide& mass, const PerOxide& moles)
        : tables_(tables), mass_(mass), moles_(moles) {}

    double factor(Variation variation, double plain, bool& stretched) const {
        switch (variation) {
        case Variation::none: return plain;
        case Variation::appen_silica: return silica_factor(100 * moles_[tables_.silica]);
        case Variation::appen_boron: return boron_factor(stretched);
        case Variation::appen_titania: {
            const double silica = 100 * moles_[tables_.silica];
            stretched = stretched || silica < 50 || silica > 80;
            return 30 - 1.5 * (std::clamp(silica, 50.0, 80.0) - 50);
        }
        case Variation::appen_lead: {
            const double alkalis = 100 * (of("Na2O") + of("K2O") + of("Li2O"));
            return alkalis <= 3 ? 130 : std::min(130 + 5 * (alkalis - 3), 190.0);
        }
        case Variation::below_12_percent:
            stretched = stretched || mass_[tables_.boron] > 0.12;
            return plain;
        }
        return plain;
    }

  private:
    double of(std::string_view oxide) const {
        const OxideId id = tables_.find_oxide(oxide);
        return id == no_oxide ? 0 : moles_[id];
    }

    double boron_factor(bool& stretched) const {
        const double boron = moles_[tables_.boron];
        if (!(boron > 0))
            return 0;
        const double psi = (of("Na2O") + of("K2O") + of("BaO") +
                            0.7 * (of("CaO") + of("SrO") + of("CdO") + of("PbO")) +
                            0.3 * (of("Li2O") + of("MgO") + of("ZnO")) - of("Al2O3")) /
                           boron;
        stretched = stretched || psi < 1;
        return 12.5 * (4 - std::clamp(psi, 1.0, 4.0)) - 50;
    }

    const ChemistryTables& tables_;
    const PerOxide& mass_;
    const PerOxide& moles_;
};

} // namespace

ExpansionEstimate expansion_by(const ChemistryTables& tables, const ExpansionSet& set,
                               const PerOxide& mass, const PerOxide& moles) {
    ExpansionEstimate estimate;
    const Varying varying(tables, mass, moles);
    double sum = 0;
    for (std::size_t i = 0; i < tables.oxides.size(); ++i) {
        if (!(mass[i] > 0))
            continue;
        if (!set.has[i]) {
            estimate.left_out += mass[i];
            continue;
        }
        const double factor = varying.factor(set.varies[i], set.factor[i], estimate.stretched);
        sum += factor * (set.by_mole ? moles[i] : 100 * mass[i]);
    }
    estimate.per_k = sum * per_set_unit / (set.cubical ? 3 : 1);
    return estimate;
}

} // namespace fettle
