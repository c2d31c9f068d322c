#include "compiler/chemistry/formula.h"

#include <fmt/format.h>

#include <charconv>
#include <cmath>
#include <optional>

namespace fettle {
namespace {

using Problem = FormulaProblem;

constexpr bool is_digit(char c) {
    return c >= '0' && c <= '9';
}
constexpr bool is_upper(char c) {
    return c >= 'A' && c <= 'Z';
}
constexpr bool is_lower(char c) {
    return c >= 'a' && c <= 'z';
}
constexpr double most_atoms = 1000; // of one subscript; guards against nonsense
constexpr int deepest = 8;          // brackets in brackets

void add(Atoms& to, const Atoms& from, double times) {
    for (std::size_t i = 0; i < most_elements; ++i)
        to[i] += from[i] * times;
}

// The signs that stand between the parts of a hydrate, besides the point.
std::size_t separator_length(std::string_view text) {
    for (std::string_view sign : {"·", "•", "∙", "⋅", "*"}) {
        if (text.substr(0, sign.size()) == sign)
            return sign.size();
    }
    return 0;
}

class Reading {
  public:
    Reading(const ChemistryTables& tables, std::string_view text) : tables_(tables), text_(text) {}

    std::variant<Atoms, Problem> read() {
        Atoms all{};
        skip_blanks();
        if (at_ == text_.size())
            return Problem{Problem::Kind::empty, 0, text_.size(), ""};
        do {
            skip_blanks();
            double times = 1;
            if (at_ < text_.size() && is_digit(text_[at_]) && !number(times))
                return *problem_;
            Atoms part{};
            const std::size_t begin = at_;
            if (!groups(part, 0))
                return *problem_;
            if (at_ == begin)
                return unexpected();
            add(all, part, times);
            skip_blanks();
        } while (separator());
        if (at_ < text_.size())
            return unexpected();
        return all;
    }

  private:
    void skip_blanks() {
        while (at_ < text_.size() && text_[at_] == ' ')
            ++at_;
    }

    bool fail(Problem::Kind kind, std::size_t begin, std::size_t end) {
        problem_ = Problem{kind, begin, end, std::string(text_.substr(begin, end - begin))};
        return false;
    }

    Problem unexpected() {
        std::size_t end = at_;
        if (end < text_.size()) {
            ++end; // a whole sign, not a byte of it
            while (end < text_.size() && (text_[end] & 0xC0) == 0x80)
                ++end;
        }
        const auto kind = at_ < text_.size() && (text_[at_] == ')' || text_[at_] == ']')
                              ? Problem::Kind::stray_bracket
                              : Problem::Kind::unexpected;
        fail(kind, at_, end);
        return *problem_;
    }

    bool separator() {
        if (at_ == text_.size())
            return false;
        if (const std::size_t length = separator_length(text_.substr(at_))) {
            at_ += length;
            return true;
        }
        if (text_[at_] == '.') {
            ++at_;
            return true;
        }
        return false;
    }

    // Whether the point at `place`, between two digits, stands for `·`: what follows is water, or
    // an oxide with a number in front, and nothing else until the next part.
    bool is_part_sign(std::size_t place) const {
        std::size_t begin = place + 1;
        while (begin < text_.size() && is_digit(text_[begin]))
            ++begin;
        std::size_t end = begin;
        while (end < text_.size() && text_[end] != '.' && text_[end] != ' ' &&
               separator_length(text_.substr(end)) == 0) {
            ++end;
        }
        const std::string_view part = text_.substr(begin, end - begin);
        return part == "H2O" || part == "CO2" || part == "SO3" ||
               tables_.find_oxide(part) != no_oxide;
    }

    bool number(double& value) {
        const std::size_t begin = at_;
        while (at_ < text_.size() && is_digit(text_[at_]))
            ++at_;
        if (at_ + 1 < text_.size() && text_[at_] == '.' && is_digit(text_[at_ + 1])) {
            const bool zero = text_.substr(begin, at_ - begin) == "0";
            const bool part = is_part_sign(at_);
            if (zero || !part) {
                ++at_;
                while (at_ < text_.size() && is_digit(text_[at_]))
                    ++at_;
            }
        }
        const auto result = std::from_chars(text_.data() + begin, text_.data() + at_, value);
        if (result.ec != std::errc{} || !(value > 0) || value > most_atoms)
            return fail(Problem::Kind::bad_number, begin, at_);
        return true;
    }

    bool subscript(double& times) {
        times = 1;
        return at_ == text_.size() || !is_digit(text_[at_]) || number(times);
    }

    // Elements and bracketed groups, as far as they go.
    bool groups(Atoms& into, int depth) {
        while (at_ < text_.size()) {
            const char c = text_[at_];
            if (is_upper(c)) {
                if (!element(into))
                    return false;
            } else if (c == '(' || c == '[') {
                const std::size_t opened = at_++;
                Atoms inside{};
                if (depth == deepest)
                    return fail(Problem::Kind::unexpected, opened, at_);
                if (!groups(inside, depth + 1))
                    return false;
                if (at_ == text_.size() || text_[at_] != (c == '(' ? ')' : ']')) {
                    return fail(at_ == text_.size() ? Problem::Kind::unclosed_bracket
                                                    : Problem::Kind::unexpected,
                                at_ == text_.size() ? opened : at_,
                                at_ == text_.size() ? opened + 1 : at_ + 1);
                }
                ++at_;
                double times = 1;
                if (!subscript(times))
                    return false;
                add(into, inside, times);
            } else {
                break;
            }
        }
        return true;
    }

    bool element(Atoms& into) {
        const std::size_t begin = at_++;
        while (at_ < text_.size() && is_lower(text_[at_]))
            ++at_;
        const std::string_view symbol = text_.substr(begin, at_ - begin);
        for (std::size_t i = 0; i < tables_.elements.size(); ++i) {
            if (tables_.elements[i].symbol == symbol) {
                double times = 1;
                if (!subscript(times))
                    return false;
                into[i] += times;
                return true;
            }
        }
        return fail(Problem::Kind::unknown_element, begin, at_);
    }

    const ChemistryTables& tables_;
    std::string_view text_;
    std::size_t at_ = 0;
    std::optional<Problem> problem_;
};

// Oxygen that the oxides, the water, the carbon dioxide and (by `sulphur_oxygen` for each atom) the
// sulphur oxides need more than there is, when element `low` takes its lower oxide.
double spare_oxygen(const ChemistryTables& tables, const Atoms& atoms, OxideId lower,
                    double sulphur_oxygen) {
    double spare = atoms[tables.oxygen] + atoms[tables.fluorine] / 2 - atoms[tables.hydrogen] / 2 -
                   2 * atoms[tables.carbon] - sulphur_oxygen * atoms[tables.sulphur];
    std::array<bool, most_elements> done{};
    const auto take = [&](const Oxide& oxide) {
        if (done[oxide.element])
            return;
        done[oxide.element] = true;
        spare -= atoms[oxide.element] / oxide.element_atoms * oxide.oxygen_atoms;
    };
    if (lower != no_oxide)
        take(tables.oxides[lower]);
    for (const Oxide& oxide : tables.oxides)
        take(oxide);
    return spare;
}

constexpr double nothing = 1e-9; // of an atom

} // namespace

std::string describe(const FormulaProblem& problem) {
    switch (problem.kind) {
    case Problem::Kind::empty: return "this formula is empty";
    case Problem::Kind::unknown_element:
        return fmt::format("there is no element `{}` that a glaze is made of", problem.text);
    case Problem::Kind::unclosed_bracket: return "this bracket of a formula is never closed";
    case Problem::Kind::stray_bracket: return "this bracket of a formula closes nothing";
    case Problem::Kind::bad_number:
        return fmt::format("`{}` is no number of atoms: it has to be above 0, and at most 1000",
                           problem.text);
    case Problem::Kind::unexpected:
        return problem.text.empty()
                   ? "this formula ends too soon"
                   : fmt::format("`{}` does not belong in a formula", problem.text);
    }
    return "";
}

std::variant<Atoms, FormulaProblem> parse_formula(const ChemistryTables& tables,
                                                  std::string_view text) {
    return Reading(tables, text).read();
}

double molar_mass(const ChemistryTables& tables, const Atoms& atoms) {
    double mass = 0;
    for (std::size_t i = 0; i < tables.elements.size(); ++i)
        mass += atoms[i] * tables.elements[i].weight;
    return mass;
}

FiredFormula fire(const ChemistryTables& tables, const Atoms& atoms) {
    FiredFormula fired;
    fired.molar_mass = molar_mass(tables, atoms);
    // The first oxide of an element is its usual one; a later one is lower.
    OxideId lower = no_oxide;
    for (std::size_t i = 0; i < tables.oxides.size(); ++i) {
        const Oxide& oxide = tables.oxides[i];
        const bool usual = [&] {
            for (std::size_t k = 0; k < i; ++k) {
                if (tables.oxides[k].element == oxide.element)
                    return false;
            }
            return true;
        }();
        if (!usual && atoms[oxide.element] > 0 &&
            std::abs(spare_oxygen(tables, atoms, static_cast<OxideId>(i), 3)) < nothing) {
            lower = static_cast<OxideId>(i);
        }
    }
    const bool trioxide = spare_oxygen(tables, atoms, lower, 3) > -nothing;
    const double spare = spare_oxygen(tables, atoms, lower, trioxide ? 3 : 2);
    std::array<bool, most_elements> done{};
    const auto take = [&](std::size_t id) {
        const Oxide& oxide = tables.oxides[id];
        if (done[oxide.element])
            return;
        done[oxide.element] = true;
        fired.moles[id] = atoms[oxide.element] / oxide.element_atoms;
        fired.share[id] = fired.moles[id] * oxide.molar_mass / fired.molar_mass;
    };
    if (lower != no_oxide)
        take(lower);
    for (std::size_t i = 0; i < tables.oxides.size(); ++i)
        take(i);
    const auto weight = [&](std::size_t element) { return tables.elements[element].weight; };
    const auto gives = [&](Gas gas, double mass) {
        fired.gas[static_cast<std::size_t>(gas)] += mass / fired.molar_mass;
    };
    const double oxygen = weight(tables.oxygen);
    gives(Gas::water, atoms[tables.hydrogen] / 2 * (2 * weight(tables.hydrogen) + oxygen));
    gives(Gas::carbon_dioxide, atoms[tables.carbon] * (weight(tables.carbon) + 2 * oxygen));
    gives(Gas::sulphur_oxides,
          atoms[tables.sulphur] * (weight(tables.sulphur) + (trioxide ? 3 : 2) * oxygen));
    gives(Gas::fluorine, atoms[tables.fluorine] * (weight(tables.fluorine) - oxygen / 2));
    gives(Gas::oxygen, std::abs(spare) < nothing ? 0 : spare * oxygen);
    for (std::size_t i = 0; i < tables.elements.size(); ++i) {
        if (!done[i] && i != tables.oxygen && i != tables.hydrogen && i != tables.carbon &&
            i != tables.sulphur && i != tables.fluorine) {
            gives(Gas::other, atoms[i] * weight(i));
        }
    }
    for (double share : fired.gas)
        fired.loss += share;
    return fired;
}

bool same_substance(const Atoms& a, const Atoms& b) {
    double of_a = 0, of_b = 0;
    for (std::size_t i = 0; i < most_elements; ++i) {
        of_a += a[i];
        of_b += b[i];
    }
    for (std::size_t i = 0; i < most_elements; ++i) {
        if (std::abs(a[i] / of_a - b[i] / of_b) > 1e-6)
            return false;
    }
    return true;
}

} // namespace fettle
