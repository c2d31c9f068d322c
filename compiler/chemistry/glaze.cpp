#include "compiler/chemistry/glaze.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace fettle {
namespace {

constexpr double not_known = std::numeric_limits<double>::quiet_NaN();
constexpr double nothing = 1e-9;

// The steps in which one gas of a mineral leaves; one step at unknown temperatures where the tables
// do not have the mineral.
void add_steps(const ChemistryTables& tables, const Atoms& atoms, Gas gas, double share,
               std::vector<GasStep>& into) {
    if (share <= nothing)
        return;
    const std::size_t before = into.size();
    for (const GasRow& row : tables.gases) {
        if (row.gas == gas && same_substance(row.atoms, atoms)) {
            into.push_back(
                {gas, share * row.share, row.from_c, row.to_c, row.alone, row.from_memory});
        }
    }
    if (into.size() == before)
        into.push_back({gas, share, not_known, not_known, false, false});
}

void add_gases(const MaterialChemistry& material, double share, int portion,
               GlazeChemistry& glaze) {
    if (std::isnan(material.loss)) {
        if (glaze.without_loss < 0)
            glaze.without_loss = portion;
        return;
    }
    for (const GasStep& step : material.gases) {
        const double of_glaze = step.share * share;
        if (step.gas == Gas::carbon_dioxide)
            glaze.carbon_dioxide += of_glaze;
        if (of_glaze < least_gas)
            continue;
        if (step.gas == Gas::unknown && glaze.without_gas < 0)
            glaze.without_gas = portion;
        if ((std::isnan(step.to_c) || step.alone) && glaze.without_range < 0)
            glaze.without_range = portion;
        if (step.to_c > red_heat_c && !step.alone) {
            glaze.late_loss += of_glaze;
            glaze.gas_from_c = std::fmin(glaze.gas_from_c, step.from_c);
            glaze.gas_until_c = std::fmax(glaze.gas_until_c, step.to_c);
        }
    }
}

void finish_fluxes(const ChemistryTables& tables, const PerOxide& amounts, GlazeChemistry& glaze) {
    double alkalis = 0, fluxes = 0;
    for (std::size_t i = 0; i < tables.oxides.size(); ++i) {
        if (tables.oxides[i].role == OxideRole::alkali)
            alkalis += amounts[i];
        if (is_flux(tables.oxides[i].role))
            fluxes += amounts[i];
    }
    glaze.has_flux = fluxes > nothing * 1e-3;
    if (!glaze.has_flux)
        return;
    for (std::size_t i = 0; i < tables.oxides.size(); ++i)
        glaze.unity[i] = amounts[i] / fluxes;
    glaze.alkali_share = alkalis / fluxes;
    glaze.boron = glaze.unity[tables.boron];
}

} // namespace

MaterialChemistry material_of_formula(const ChemistryTables& tables, const Atoms& atoms) {
    const FiredFormula fired = fire(tables, atoms);
    MaterialChemistry material;
    material.share = fired.share;
    material.loss = fired.loss;
    for (std::size_t gas = 0; gas < gas_count; ++gas)
        add_steps(tables, atoms, static_cast<Gas>(gas), fired.gas[gas], material.gases);
    return material;
}

MaterialChemistry material_of_analysis(const ChemistryTables& tables, const PerOxide& share,
                                       double loss, const MaterialChemistry* mineral) {
    MaterialChemistry material;
    material.share = share;
    double sum = 0;
    for (std::size_t i = 0; i < tables.oxides.size(); ++i)
        sum += share[i];
    // Where the oxides are the whole, there is nothing left to lose.
    if (std::isnan(loss) && sum > 1 - analysis_tolerance)
        loss = 0;
    material.loss = loss;
    if (std::isnan(loss))
        return material;
    material.unaccounted = std::max(0.0, 1 - sum - loss);
    if (loss <= 0)
        return material;
    double of_mineral = 0;
    if (mineral != nullptr) {
        for (const GasStep& step : mineral->gases)
            of_mineral += step.share;
    }
    if (!(of_mineral > 0)) {
        material.gases.push_back({Gas::unknown, loss, not_known, not_known, false, false});
        return material;
    }
    for (GasStep step : mineral->gases) {
        step.share *= loss / of_mineral;
        material.gases.push_back(step);
    }
    return material;
}

bool add_to_analysis(const ChemistryTables& tables, std::string_view name, double share,
                     PerOxide& into) {
    if (const OxideId id = tables.find_oxide(name); id != no_oxide) {
        into[id] += share;
        return true;
    }
    if (const OxideForm* form = tables.find_form(name)) {
        into[form->counts_as] += share * form->share;
        return true;
    }
    return false;
}

GlazeChemistry analyse(const ChemistryTables& tables, std::span<const Portion> portions) {
    GlazeChemistry glaze;
    glaze.gas_from_c = glaze.gas_until_c = not_known;
    for (const Portion& portion : portions)
        glaze.parts += portion.parts;
    PerOxide mass{};
    double unaccounted = 0;
    for (std::size_t p = 0; p < portions.size(); ++p) {
        const double share = portions[p].parts / glaze.parts;
        const MaterialChemistry& material = *portions[p].material;
        for (std::size_t i = 0; i < tables.oxides.size(); ++i)
            mass[i] += share * material.share[i];
        glaze.loss += share * material.loss; // NaN stays
        unaccounted += share * material.unaccounted;
        add_gases(material, share, static_cast<int>(p), glaze);
    }
    glaze.unaccounted = unaccounted;
    if (glaze.without_loss >= 0 || glaze.without_gas >= 0)
        glaze.carbon_dioxide = not_known;
    if (glaze.without_loss >= 0 || glaze.without_range >= 0)
        glaze.late_loss = glaze.gas_from_c = glaze.gas_until_c = not_known;

    PerOxide amounts{}; // moles in one gram of the dry glaze
    double sum_mass = 0, sum_moles = 0;
    for (std::size_t i = 0; i < tables.oxides.size(); ++i) {
        amounts[i] = mass[i] / tables.oxides[i].molar_mass;
        sum_mass += mass[i];
        sum_moles += amounts[i];
    }
    if (sum_mass > 0) {
        for (std::size_t i = 0; i < tables.oxides.size(); ++i) {
            glaze.mass[i] = mass[i] / sum_mass;
            glaze.moles[i] = amounts[i] / sum_moles;
        }
    }
    finish_fluxes(tables, amounts, glaze);
    const double alumina = amounts[tables.alumina];
    glaze.silica_per_alumina = alumina > 0 ? amounts[tables.silica] / alumina : not_known;
    for (std::size_t set = 0; set < tables.sets.size(); ++set)
        glaze.expansion[set] = expansion_by(tables, tables.sets[set], glaze.mass, glaze.moles);
    return glaze;
}

std::vector<GasRelease> gas_releases(std::span<const Portion> portions) {
    double parts = 0;
    for (const Portion& portion : portions)
        parts += portion.parts;
    std::vector<GasRelease> releases;
    for (std::size_t p = 0; p < portions.size(); ++p) {
        for (GasStep step : portions[p].material->gases) {
            step.share *= portions[p].parts / parts;
            releases.push_back({p, step});
        }
    }
    const auto key = [](const GasRelease& release) {
        return std::isnan(release.step.from_c) ? 1e9 : release.step.from_c;
    };
    std::stable_sort(releases.begin(), releases.end(),
                     [&](const auto& a, const auto& b) { return key(a) < key(b); });
    return releases;
}

} // namespace fettle
