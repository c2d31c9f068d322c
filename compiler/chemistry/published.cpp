#include "compiler/chemistry/published.h"

#include "compiler/chemistry/csv_table.h"
#include "compiler/units/quantity.h"

#include <algorithm>
#include <cmath>

namespace fettle {
namespace {

bool from_memory(std::string_view status) {
    return status.find("from memory") != std::string_view::npos;
}

double of_unity(const ChemistryTables& tables, const GlazeChemistry& glaze, std::string_view name) {
    if (name == "KNaO")
        return glaze.unity[tables.potash] + glaze.unity[tables.soda];
    const OxideId oxide = tables.find_oxide(name);
    return oxide == no_oxide ? 0 : glaze.unity[oxide];
}

bool is_of_lead(const LimitFormula& formula) {
    return std::any_of(formula.oxides.begin(), formula.oxides.end(), [](const OxideLimit& limit) {
        return limit.oxide == "PbO" && limit.least > 0;
    });
}

} // namespace

std::size_t LimitFormula::held() const {
    return static_cast<std::size_t>(std::count_if(oxides.begin(), oxides.end(),
                                                  [](const auto& limit) { return limit.held(); }));
}

std::vector<LimitFormula> compare_with_limits(const Chemistry& chemistry,
                                              const GlazeChemistry& glaze, double cone_from,
                                              double cone_to) {
    std::vector<LimitFormula> formulas;
    CsvTable table(chemistry.data("data/limit_formulas.csv"));
    while (table.next()) {
        const auto from = parse_cone(table["cone_from"]), to = parse_cone(table["cone_to"]);
        const auto least = table.number("least"), most = table.number("most");
        if (!from || !to || !least || !most || *from > cone_to || *to < cone_from)
            continue;
        const auto same = [&](const LimitFormula& formula) {
            return formula.author == table["set"] && formula.glaze_type == table["glaze_type"] &&
                   formula.cone_from == *from;
        };
        auto place = std::find_if(formulas.begin(), formulas.end(), same);
        if (place == formulas.end()) {
            LimitFormula formula;
            formula.author = table["set"];
            formula.glaze_type = table["glaze_type"];
            formula.source = table["source"];
            formula.cone_from = *from;
            formula.cone_to = *to;
            formula.from_memory = from_memory(table["status"]);
            place = formulas.insert(formulas.end(), std::move(formula));
        }
        const std::string oxide(table["oxide"]);
        const double found = of_unity(chemistry.tables(), glaze, oxide);
        // To the digits in which limits are given.
        place->oxides.push_back({oxide, *least, *most, std::round(found * 1000) / 1000});
    }
    if (of_unity(chemistry.tables(), glaze, "PbO") <= 0)
        std::erase_if(formulas, is_of_lead);
    std::stable_sort(formulas.begin(), formulas.end(), [](const auto& a, const auto& b) {
        return a.held() * b.oxides.size() > b.held() * a.oxides.size();
    });
    return formulas;
}

std::vector<PlaneLine> plane_lines(const Chemistry& chemistry) {
    std::vector<PlaneLine> lines;
    CsvTable table(chemistry.data("data/silica_alumina.csv"));
    while (table.next()) {
        const auto ratio = table.number("ratio"), cone = table.number("cone");
        if (table["kind"] != "ratio" || !ratio || !cone ||
            table["status"].find("weak") != std::string_view::npos) {
            continue;
        }
        lines.push_back({std::string(table["feature"]), std::string(table["source"]), *ratio, *cone,
                         from_memory(table["status"])});
    }
    return lines;
}

std::vector<OxideHazard> hazards_of(const Chemistry& chemistry, const GlazeChemistry& glaze,
                                    const std::vector<GasRelease>& releases) {
    const ChemistryTables& tables = chemistry.tables();
    constexpr double trace = 1e-4; // of the fired glaze: less is said by the materials
    std::vector<OxideHazard> hazards;
    CsvTable table(chemistry.data("data/oxide_hazards.csv"));
    while (table.next()) {
        const std::string_view what = table["what"];
        const OxideId oxide = tables.find_oxide(what);
        const bool there =
            oxide != no_oxide
                ? glaze.mass[oxide] > trace
                : std::any_of(releases.begin(), releases.end(), [&](const GasRelease& release) {
                      return to_string(release.step.gas) == what;
                  });
        if (there) {
            hazards.push_back({std::string(what), std::string(table["where"]),
                               std::string(table["words"]), std::string(table["source"])});
        }
    }
    return hazards;
}

} // namespace fettle
