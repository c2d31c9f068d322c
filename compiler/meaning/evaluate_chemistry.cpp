#include "compiler/meaning/evaluate_chemistry.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

namespace fettle {
namespace {

constexpr double not_known = std::numeric_limits<double>::quiet_NaN();

// Fields are rounded as they are made, to one part in a million and to 0.0001 ppm/K, so that they
// are the same everywhere and read well.
Value rounded(double value) {
    return Value::quantity(std::round(value * 1e6) / 1e6);
}
Value rounded_expansion(double per_k) {
    return Value::quantity(std::round(per_k * 1e10) / 1e10);
}

std::string percent(double share) {
    return print_number(100 * share, 2) + "%";
}

class Worker {
  public:
    Worker(Program& program, Profile& profile, const ChemistryTables& tables,
           Diagnostics& diagnostics)
        : program_(program), profile_(profile), tables_(tables), diagnostics_(diagnostics) {}

    void material(WrittenHere written, Span formula_span) {
        std::optional<MaterialChemistry> mineral;
        const Value& formula = field("formula");
        if (written.formula && !written.analysis)
            profile_.analysis.clear();
        if (formula.is(ValueKind::text)) {
            const auto atoms = parse_formula(tables_, formula.as_text());
            if (const auto* problem = std::get_if<FormulaProblem>(&atoms)) {
                report_formula(*problem, formula.as_text(), formula_span);
                return;
            }
            mineral = material_of_formula(tables_, std::get<Atoms>(atoms));
            if (!mineral || !has_oxides(*mineral)) {
                diagnostics_
                    .report(DiagnosticKind::bad_formula, formula_span,
                            fmt::format("nothing of `{}` stays in the fire", formula.as_text()))
                    .note("a material of a glaze has to bring an oxide that stays");
                return;
            }
        }
        const Value& loss = field("loss");
        const double written_loss = loss.is(ValueKind::quantity) ? loss.number : not_known;
        if (written_loss > 1) {
            diagnostics_.report(
                DiagnosticKind::bad_analysis, span_of("loss"),
                fmt::format("a loss of {} is more than there is to lose", percent(written_loss)));
            return;
        }
        MaterialChemistry made;
        if (!profile_.analysis.empty()) {
            if (!analysed(written_loss, mineral ? &*mineral : nullptr, made))
                return;
        } else if (mineral) {
            if (!std::isnan(written_loss) && std::abs(written_loss - mineral->loss) > 0.0051) {
                diagnostics_
                    .report(DiagnosticKind::bad_analysis, span_of("loss"),
                            fmt::format("by its formula, {} loses {}, not {}", name(),
                                        percent(mineral->loss), percent(written_loss)))
                    .mend("leave `loss` out, or write the `analysis` of the material that is "
                          "weighed, beside the formula of what it mainly is");
                return;
            }
            made = std::move(*mineral);
        } else {
            return; // nothing to work with; told where something needs it
        }
        apply_range(made);
        if (!std::isnan(made.loss))
            put("loss", rounded(made.loss));
        profile_.chemistry = static_cast<std::uint32_t>(program_.materials.size());
        program_.materials.push_back(std::move(made));
    }

    void glaze() {
        std::vector<Portion> portions;
        std::vector<const ProfileShare*> shares;
        for (const auto* list : {&profile_.recipe, &profile_.additions}) {
            for (const ProfileShare& share : *list) {
                if (!portion(share, portions))
                    return;
                shares.push_back(&share);
            }
        }
        if (portions.empty())
            return;
        const GlazeChemistry made = analyse(tables_, portions);
        if (!made.has_flux) {
            diagnostics_
                .report(DiagnosticKind::no_flux, name_span(),
                        fmt::format("nothing in {} melts it: the recipe has no flux", name()))
                .note("fluxes are the alkalis (soda, potash, lithia), lime, magnesia, baryta, "
                      "strontia, zinc oxide and lead oxide; without one there is no unity formula");
            return;
        }
        put_unity(made);
        const auto missing = [&](int portion, std::string_view field) {
            return missing_of(shares[static_cast<std::size_t>(portion)]->material, field);
        };
        const Value loss =
            made.without_loss >= 0 ? missing(made.without_loss, "loss") : rounded(made.loss);
        put("loss", loss);
        put("alkali_share", rounded(made.alkali_share));
        put("boron", rounded(made.boron));
        if (!std::isnan(made.silica_per_alumina))
            put("silica_per_alumina", rounded(made.silica_per_alumina));
        put("carbonates", made.without_loss >= 0  ? loss
                          : made.without_gas >= 0 ? missing(made.without_gas, "gas")
                                                  : rounded(made.carbon_dioxide));
        if (made.without_loss >= 0 || made.without_range >= 0) {
            const Value why = made.without_loss >= 0 ? loss : missing(made.without_range, "leaves");
            for (std::string_view late : {"late_loss", "gas_from", "gas_until"})
                put(late, why);
        } else {
            put("late_loss", rounded(made.late_loss));
            if (!std::isnan(made.gas_until_c)) {
                put("gas_from", Value::quantity(made.gas_from_c));
                put("gas_until", Value::quantity(made.gas_until_c));
            }
        }
        put_expansion(made);
        profile_.chemistry = static_cast<std::uint32_t>(program_.glazes.size());
        program_.glazes.push_back(made);
    }

  private:
    static bool has_oxides(const MaterialChemistry& material) {
        return std::any_of(material.share.begin(), material.share.end(),
                           [](double share) { return share > 0; });
    }

    bool analysed(double loss, const MaterialChemistry* mineral, MaterialChemistry& made) {
        PerOxide share{};
        double sum = std::isnan(loss) ? 0 : loss;
        for (const ProfileShare& entry : profile_.analysis) {
            if (entry.amount < 0) {
                diagnostics_.report(
                    DiagnosticKind::bad_analysis, entry.span,
                    fmt::format("a share of {} is below nothing", percent(entry.amount)));
                return false;
            }
            sum += entry.amount;
            add_to_analysis(tables_, program_.name(entry.name), entry.amount, share);
        }
        if (sum > 1 + analysis_tolerance) {
            Diagnostic& d = diagnostics_.report(
                DiagnosticKind::bad_analysis, profile_.analysis.front().span,
                fmt::format("the analysis of {} {} to {}", name(),
                            std::isnan(loss) ? "comes" : "and its loss come", percent(sum)));
            if (!std::isnan(loss) && std::abs(sum - loss - 1) < 0.03) {
                d.mend(fmt::format("if these are shares of the fired material, multiply each by "
                                   "{}: shares here are of the material as it is weighed",
                                   print_number(1 - loss, 4)));
            } else {
                d.mend("compare each figure with the data sheet; nothing is scaled behind your "
                       "back");
            }
            return false;
        }
        if (sum < 1 - 2 * analysis_tolerance) {
            diagnostics_
                .report(DiagnosticKind::incomplete_analysis, profile_.analysis.front().span,
                        fmt::format("the analysis of {} {} to {} only", name(),
                                    std::isnan(loss) ? "comes" : "and its loss come", percent(sum)))
                .note(std::isnan(loss) ? "write its `loss`; until then the loss is unknown"
                                       : "the rest is taken as something that neither melts nor "
                                         "leaves");
        }
        made = material_of_analysis(tables_, share, loss, mineral);
        return true;
    }

    // What the profile says of when its loss leaves goes before what the tables say.
    void apply_range(MaterialChemistry& made) {
        const Value& gas = field("gas");
        for (GasStep& step : made.gases) {
            if (gas.is(ValueKind::choice) && step.gas == Gas::unknown)
                step.gas = gas_named(program_.name(gas.index));
        }
        const Value& range = field("leaves");
        if (!range.is(ValueKind::range))
            return;
        for (GasStep& step : made.gases) {
            step.from_c = range.low().number;
            step.to_c = range.high().number;
            step.alone = step.from_memory = false;
        }
    }

    bool portion(const ProfileShare& share, std::vector<Portion>& portions) {
        if (share.material == none)
            return false; // reported
        const Profile& material = program_.profiles[share.material];
        const std::string_view what =
            program_.name(program_.declarations[material.declaration].name);
        if (!(share.amount > 0)) {
            diagnostics_
                .report(DiagnosticKind::bad_recipe, share.span,
                        fmt::format("{} parts of {} can't be weighed out",
                                    print_number(share.amount), what))
                .mend("leave the line out, or write a number above 0");
            return false;
        }
        if (material.chemistry == none) {
            if (is_whole(program_.declarations[material.declaration])) {
                diagnostics_
                    .report(DiagnosticKind::missing_field, share.span,
                            fmt::format("{} has neither an `analysis` nor a `formula`, so nothing "
                                        "is known of what it brings",
                                        what))
                    .note(span_of_name(material), "it is declared here");
            }
            return false;
        }
        portions.push_back({&program_.materials[material.chemistry], share.amount});
        return true;
    }

    // No error in it that has been said already.
    bool is_whole(const Declaration& declaration) const {
        const Module& module = program_.modules[declaration.module];
        return declaration.usable &&
               module.tree[module.child(declaration.node, 4)].kind == NodeKind::block;
    }

    void put_unity(const GlazeChemistry& made) {
        std::vector<Value> unity;
        for (std::size_t i = 0; i < tables_.oxides.size(); ++i)
            unity.push_back(rounded(made.unity[i]));
        unity.push_back(rounded(made.unity[tables_.potash] + made.unity[tables_.soda]));
        put("unity", Value::sequence(ValueKind::list, program_.arena.copy(unity)));
    }

    void put_expansion(const GlazeChemistry& made) {
        double least = 0, greatest = 0;
        bool any = false;
        for (std::size_t set = 0; set < tables_.sets.size(); ++set) {
            const ExpansionEstimate& estimate = made.expansion[set];
            if (!estimate.usable())
                continue;
            least = any ? std::min(least, estimate.per_k) : estimate.per_k;
            greatest = any ? std::max(greatest, estimate.per_k) : estimate.per_k;
            any = true;
        }
        if (!any)
            return;
        if (made.expansion[0].usable())
            put("expansion", rounded_expansion(made.expansion[0].per_k));
        const Value ends[] = {rounded_expansion(least), rounded_expansion(greatest)};
        put("expansion_spread", Value::sequence(ValueKind::range, program_.arena.copy(ends)));
    }

    void report_formula(const FormulaProblem& problem, std::string_view text, Span span) {
        // Into the text itself, where it is written plainly between its quotes.
        Span at = span;
        if (span.end - span.begin == text.size() + 2) {
            at.begin = span.begin + 1 + static_cast<std::uint32_t>(problem.begin);
            at.end = span.begin + 1 +
                     static_cast<std::uint32_t>(std::max(problem.end, problem.begin + 1));
            at.end = std::min(at.end, span.end);
        }
        diagnostics_.report(DiagnosticKind::bad_formula, at, describe(problem));
    }

    Value missing_of(std::uint32_t profile, std::string_view field) const {
        const Holder holder = holder_of(program_.profiles[profile].kind);
        return Value::indexed(
            ValueKind::unknown,
            pack({profile, static_cast<std::uint32_t>(field::at(holder, field))}));
    }
    std::size_t index(std::string_view name) const {
        return static_cast<std::size_t>(field::at(holder_of(profile_.kind), name));
    }
    const Value& field(std::string_view name) const { return profile_.fields[index(name)]; }
    void put(std::string_view name, const Value& value) { profile_.fields[index(name)] = value; }
    Span span_of(std::string_view name) const { return profile_.field_spans[index(name)]; }
    std::string_view name() const {
        return program_.name(program_.declarations[profile_.declaration].name);
    }
    Span span_of_name(const Profile& profile) const {
        const Declaration& declaration = program_.declarations[profile.declaration];
        return program_.span(declaration.module,
                             program_.modules[declaration.module].child(declaration.node, 0));
    }
    Span name_span() const { return span_of_name(profile_); }

    Program& program_;
    Profile& profile_;
    const ChemistryTables& tables_;
    Diagnostics& diagnostics_;
};

} // namespace

void work_out_material(Program& program, Profile& profile, WrittenHere written, Span formula,
                       const ChemistryTables& tables, Diagnostics& diagnostics) {
    Worker(program, profile, tables, diagnostics).material(written, formula);
}

void work_out_glaze(Program& program, Profile& profile, const ChemistryTables& tables,
                    Diagnostics& diagnostics) {
    Worker(program, profile, tables, diagnostics).glaze();
}

} // namespace fettle
