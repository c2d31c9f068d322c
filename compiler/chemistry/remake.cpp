#include "compiler/chemistry/remake.h"

#include "compiler/chemistry/least_squares.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>

namespace fettle {
namespace {

double sum_of_fluxes(const ChemistryTables& tables, const PerOxide& moles) {
    double fluxes = 0;
    for (std::size_t i = 0; i < tables.oxides.size(); ++i) {
        if (is_flux(tables.oxides[i].role))
            fluxes += moles[i];
    }
    return fluxes;
}

} // namespace

std::variant<UnityText, UnityTextProblem> read_unity(const ChemistryTables& tables,
                                                     std::string_view text) {
    UnityText unity;
    std::size_t at = 0;
    const auto skip = [&] {
        while (at < text.size() && (text[at] == ' ' || text[at] == ',' || text[at] == ';'))
            ++at;
    };
    for (skip(); at < text.size(); skip()) {
        double moles = 0;
        const auto [stop, error] =
            std::from_chars(text.data() + at, text.data() + text.size(), moles);
        const auto after = static_cast<std::size_t>(stop - text.data());
        std::size_t word = after;
        while (word < text.size() && text[word] == ' ')
            ++word;
        std::size_t end = word;
        while (end < text.size() && text[end] != ' ' && text[end] != ',' && text[end] != ';')
            ++end;
        if (error != std::errc{} || !std::isfinite(moles) || moles < 0) {
            return UnityTextProblem{
                at, std::max(end, at + 1),
                fmt::format("each oxide has its number in front, as in `0.3 K2O 0.7 CaO`; this is "
                            "`{}`",
                            text.substr(at, std::max(end, at + 1) - at))};
        }
        const std::string_view name = text.substr(word, end - word);
        const OxideId oxide = tables.find_oxide(name);
        if (oxide == no_oxide) {
            return UnityTextProblem{word, end,
                                    name.empty()
                                        ? fmt::format("the {} at the end has no oxide", moles)
                                        : fmt::format("`{}` is no oxide", name)};
        }
        unity.moles[oxide] += moles;
        at = end;
    }
    unity.fluxes = sum_of_fluxes(tables, unity.moles);
    if (!(unity.fluxes > 0)) {
        return UnityTextProblem{0, text.size(), "this has no flux, so there is no unity formula"};
    }
    return unity;
}

Remade remake(const ChemistryTables& tables, const PerOxide& wanted,
              std::span<const MaterialChemistry* const> materials) {
    Remade remade;
    const std::size_t oxides = tables.oxides.size();
    const double fluxes = sum_of_fluxes(tables, wanted);
    remade.parts.resize(materials.size());
    if (!(fluxes > 0))
        return remade;
    std::vector<double> right(oxides);
    for (std::size_t i = 0; i < oxides; ++i)
        right[i] = remade.wanted[i] = wanted[i] / fluxes;
    Matrix moles(oxides, materials.size());
    for (std::size_t m = 0; m < materials.size(); ++m) {
        for (std::size_t i = 0; i < oxides; ++i)
            moles.at(i, m) = 100 * materials[m]->share[i] / tables.oxides[i].molar_mass;
    }
    const NonNegativeSolution solution = solve_non_negative(moles, right);
    std::vector<Portion> portions;
    double sum = 0;
    for (std::size_t m = 0; m < materials.size(); ++m) {
        if (solution.amounts[m] > 0)
            portions.push_back({materials[m], solution.amounts[m]});
        sum += solution.amounts[m];
    }
    if (portions.empty())
        return remade;
    for (std::size_t m = 0; m < materials.size(); ++m)
        remade.parts[m] = 100 * solution.amounts[m] / sum;
    const GlazeChemistry made = analyse(tables, portions);
    remade.possible = made.has_flux;
    if (!remade.possible)
        return remade;
    remade.made = made.unity;
    remade.exact = true;
    double square = 0;
    for (std::size_t i = 0; i < oxides; ++i) {
        const double off = remade.made[i] - remade.wanted[i];
        square += off * off;
        remade.exact = remade.exact && std::abs(off) <= exact_within;
    }
    remade.rest = std::sqrt(square);
    return remade;
}

} // namespace fettle
