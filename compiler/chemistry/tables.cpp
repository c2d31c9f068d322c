#include "compiler/chemistry/tables.h"

#include "compiler/chemistry/csv_table.h"
#include "compiler/chemistry/formula.h"

#include <algorithm>
#include <utility>

namespace fettle {
namespace {

constexpr std::pair<std::string_view, OxideRole> roles[] = {
    {"alkali", OxideRole::alkali},         {"earth", OxideRole::earth},
    {"stabiliser", OxideRole::stabiliser}, {"former", OxideRole::former},
    {"opacifier", OxideRole::opacifier},   {"colourant", OxideRole::colourant},
};
constexpr std::pair<std::string_view, Variation> variations[] = {
    {"", Variation::none},
    {"appen_silica", Variation::appen_silica},
    {"appen_boron", Variation::appen_boron},
    {"appen_titania", Variation::appen_titania},
    {"appen_lead", Variation::appen_lead},
    {"below_12_percent", Variation::below_12_percent},
};
constexpr std::string_view gas_words[] = {
    "water", "carbon dioxide", "sulphur oxides", "fluorine", "oxygen", "other gases", "gas"};
static_assert(std::size(gas_words) == gas_count);

template <class T, std::size_t N>
const T* find(const std::pair<std::string_view, T> (&rows)[N], std::string_view word) {
    const auto found = std::find_if(std::begin(rows), std::end(rows),
                                    [&](const auto& row) { return row.first == word; });
    return found == std::end(rows) ? nullptr : &found->second;
}

bool from_memory(std::string_view status) {
    return status.find("from memory") != std::string_view::npos;
}

class TableReading {
  public:
    TableReading(const Chemistry& chemistry, ChemistryTables& tables, std::string& spoilt_by)
        : chemistry_(chemistry), tables_(tables), spoilt_by_(spoilt_by) {}

    void read() {
        read_elements();
        read_oxides();
        read_sets();
        read_factors();
        read_gases();
    }

  private:
    void read_elements() {
        CsvTable table(chemistry_.data("data/atomic_weights.csv"));
        while (table.next()) {
            const auto weight = table.number("weight");
            if (!weight || tables_.elements.size() == most_elements)
                return spoil(table, "atomic_weights.csv");
            tables_.elements.push_back({std::string(table["element"]), *weight});
        }
        tables_.oxygen = element("O");
        tables_.hydrogen = element("H");
        tables_.carbon = element("C");
        tables_.sulphur = element("S");
        tables_.fluorine = element("F");
    }

    void read_oxides() {
        CsvTable table(chemistry_.data("data/oxides.csv"));
        while (table.next()) {
            const std::string_view name = table["oxide"];
            const auto atoms = parse_formula(tables_, name);
            const auto* found = std::get_if<Atoms>(&atoms);
            if (found == nullptr)
                return spoil(table, "oxides.csv");
            if (table["role"] == "form") {
                add_form(name, *found);
                continue;
            }
            const OxideRole* role = find(roles, table["role"]);
            if (role == nullptr || tables_.oxides.size() == most_oxides)
                return spoil(table, "oxides.csv");
            Oxide oxide;
            oxide.name = name;
            oxide.role = *role;
            oxide.note = table["note"];
            oxide.molar_mass = molar_mass(tables_, *found);
            oxide.oxygen_atoms = (*found)[tables_.oxygen];
            for (std::size_t i = 0; i < tables_.elements.size(); ++i) {
                if (i != tables_.oxygen && (*found)[i] > 0) {
                    oxide.element = i;
                    oxide.element_atoms = (*found)[i];
                }
            }
            tables_.oxides.push_back(std::move(oxide));
        }
        tables_.silica = tables_.find_oxide("SiO2");
        tables_.alumina = tables_.find_oxide("Al2O3");
        tables_.boron = tables_.find_oxide("B2O3");
        tables_.potash = tables_.find_oxide("K2O");
        tables_.soda = tables_.find_oxide("Na2O");
    }

    void add_form(std::string_view name, const Atoms& atoms) {
        const FiredFormula fired = fire(tables_, atoms);
        for (std::size_t i = 0; i < tables_.oxides.size(); ++i) {
            if (fired.share[i] > 0) {
                tables_.forms.push_back(
                    {std::string(name), static_cast<OxideId>(i), fired.share[i]});
            }
        }
    }

    void read_sets() {
        CsvTable table(chemistry_.data("data/expansion_sets.csv"));
        while (table.next()) {
            if (tables_.sets.size() == most_sets)
                return spoil(table, "expansion_sets.csv");
            ExpansionSet set;
            set.name = table["set"];
            set.title = table["title"];
            set.range = table["range"];
            set.source = table["source"];
            set.cubical = table["kind"] == "cubical";
            set.by_mole = table["basis"] == "mole";
            tables_.sets.push_back(std::move(set));
        }
    }

    void read_factors() {
        CsvTable table(chemistry_.data("data/expansion_factors.csv"));
        while (table.next()) {
            const auto set = std::find_if(tables_.sets.begin(), tables_.sets.end(),
                                          [&](const auto& s) { return s.name == table["set"]; });
            const OxideId oxide = tables_.find_oxide(table["oxide"]);
            const auto factor = table.number("factor");
            const Variation* varies = find(variations, table["varies"]);
            if (set == tables_.sets.end() || oxide == no_oxide || !factor || varies == nullptr)
                return spoil(table, "expansion_factors.csv");
            set->factor[oxide] = *factor;
            set->has[oxide] = true;
            set->varies[oxide] = *varies;
            set->from_memory = set->from_memory || from_memory(table["status"]);
        }
    }

    void read_gases() {
        CsvTable table(chemistry_.data("data/gas_release.csv"));
        while (table.next()) {
            const auto atoms = parse_formula(tables_, table["formula"]);
            const auto word = std::find(std::begin(gas_words), std::end(gas_words), table["gas"]);
            const auto share = table.number("share"), from = table.number("from_c"),
                       to = table.number("to_c");
            if (std::get_if<Atoms>(&atoms) == nullptr || word == std::end(gas_words) || !share ||
                !from || !to) {
                return spoil(table, "gas_release.csv");
            }
            GasRow row;
            row.atoms = std::get<Atoms>(atoms);
            row.mineral = table["mineral"];
            row.gas = static_cast<Gas>(word - std::begin(gas_words));
            row.share = *share;
            row.from_c = *from;
            row.to_c = *to;
            row.alone = table["alone"] == "yes";
            row.from_memory = from_memory(table["status"]);
            row.note = table["note"];
            row.source = table["source"];
            tables_.gases.push_back(std::move(row));
        }
    }

    std::size_t element(std::string_view symbol) const {
        for (std::size_t i = 0; i < tables_.elements.size(); ++i) {
            if (tables_.elements[i].symbol == symbol)
                return i;
        }
        return 0;
    }

    void spoil(const CsvTable& table, std::string_view file) {
        if (spoilt_by_.empty())
            spoilt_by_ = table.where(file);
    }

    const Chemistry& chemistry_;
    ChemistryTables& tables_;
    std::string& spoilt_by_;
};

} // namespace

std::string_view to_string(Gas gas) {
    return gas_words[static_cast<std::size_t>(gas)];
}

Gas gas_named(std::string_view name) {
    for (std::size_t i = 0; i < gas_count; ++i) {
        std::string word(gas_words[i]);
        std::replace(word.begin(), word.end(), ' ', '_');
        if (word == name)
            return static_cast<Gas>(i);
    }
    return Gas::unknown;
}

OxideId ChemistryTables::find_oxide(std::string_view name) const {
    for (std::size_t i = 0; i < oxides.size(); ++i) {
        if (oxides[i].name == name)
            return static_cast<OxideId>(i);
    }
    return no_oxide;
}

const OxideForm* ChemistryTables::find_form(std::string_view name) const {
    const auto found = std::find_if(forms.begin(), forms.end(),
                                    [&](const auto& form) { return form.name == name; });
    return found == forms.end() ? nullptr : &*found;
}

std::vector<std::string_view> ChemistryTables::analysis_names() const {
    std::vector<std::string_view> names;
    for (const Oxide& oxide : oxides)
        names.push_back(oxide.name);
    for (const OxideForm& form : forms)
        names.push_back(form.name);
    return names;
}

void Chemistry::read() const {
    TableReading(*this, tables_, spoilt_by_).read();
}

const ChemistryTables& Chemistry::tables() const {
    std::call_once(read_, [this] { read(); });
    return tables_;
}

const std::string& Chemistry::spoilt_by() const {
    tables();
    return spoilt_by_;
}

} // namespace fettle
