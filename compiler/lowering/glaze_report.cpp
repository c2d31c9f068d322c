#include "compiler/lowering/glaze_report.h"

#include "compiler/meaning/evaluate.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace fettle {
namespace {

// Additions to a base of a hundred are told as such; a base that comes to anything else is told.
constexpr double as_a_hundred = 0.005;

class Reporter {
  public:
    Reporter(const Program& program, const Chemistry& chemistry, const Profile& profile)
        : program_(program), chemistry_(chemistry), profile_(profile) {}

    GlazeReport make() {
        report_.tables = &chemistry_.tables();
        report_.chemistry = program_.glazes[profile_.chemistry];
        report_.name = program_.name(program_.declarations[profile_.declaration].name);
        report_.title = profile_.title;
        report_.about = profile_.about;
        for (auto [into, name] : {std::pair{&report_.fires, "fires"},
                                  {&report_.atmosphere, "atmosphere"},
                                  {&report_.surface, "surface"},
                                  {&report_.colour, "colour"},
                                  {&report_.seals, "seals"}}) {
            *into = words_of(name);
        }
        add_ingredients();
        add_gases();
        add_limits();
        report_.lines = plane_lines(chemistry_);
        add_hazards();
        add_remarks();
        return std::move(report_);
    }

  private:
    const Value& field(std::string_view name) const {
        return profile_.fields[static_cast<std::size_t>(field::at(Holder::glaze, name))];
    }

    std::string words_of(std::string_view name) const {
        const auto index = static_cast<std::size_t>(field::at(Holder::glaze, name));
        const Value& value = profile_.fields[index];
        if (!value.known())
            return {};
        // A range of cones and a choice print without looking their type up.
        const FieldShape shape = fields_of(Holder::glaze)[index].shape;
        return print_value(program_, value,
                           shape == FieldShape::quantity ? Types::temperature : Types::cone);
    }

    void add_ingredients() {
        const auto sum = [](const std::vector<ProfileShare>& shares) {
            double parts = 0;
            for (const ProfileShare& share : shares)
                parts += share.amount;
            return parts;
        };
        report_.base_parts = sum(profile_.recipe);
        report_.addition_parts = sum(profile_.additions);
        const double base = report_.base_parts > 0 ? report_.base_parts : report_.addition_parts;
        const double all = report_.base_parts + report_.addition_parts;
        for (const auto* list : {&profile_.recipe, &profile_.additions}) {
            for (const ProfileShare& share : *list) {
                const Profile& material = program_.profiles[share.material];
                GlazeIngredient part;
                part.name = program_.name(program_.declarations[material.declaration].name);
                part.title = material.title.empty() ? part.name : material.title;
                part.parts = share.amount;
                part.percent = 100 * share.amount / base;
                part.dry_share = share.amount / all;
                part.addition = list == &profile_.additions;
                const Value& moisture =
                    material
                        .fields[static_cast<std::size_t>(field::at(Holder::material, "moisture"))];
                if (moisture.is(ValueKind::quantity))
                    part.moisture = moisture.number;
                report_.ingredients.push_back(part);
                portions_.push_back({&program_.materials[material.chemistry], share.amount});
                materials_.push_back(&material);
            }
        }
    }

    void add_gases() {
        releases_ = gas_releases(portions_);
        for (const GasRelease& release : releases_) {
            GlazeGas gas;
            gas.material = report_.ingredients[release.portion].title;
            gas.gas = release.step.gas;
            gas.share = release.step.share;
            if (!std::isnan(release.step.from_c)) {
                gas.from_c = release.step.from_c;
                gas.to_c = release.step.to_c;
            }
            gas.alone = release.step.alone;
            gas.from_memory = release.step.from_memory;
            report_.gases.push_back(gas);
        }
    }

    void add_limits() {
        const Value& fires = field("fires");
        if (!fires.is(ValueKind::range)) {
            report_.remarks.emplace_back(
                "No cones are given (`fires`), so it is not compared with published limits.");
            return;
        }
        report_.limits = compare_with_limits(chemistry_, report_.chemistry, fires.low().number,
                                             fires.high().number);
    }

    void add_hazards() {
        for (OxideHazard& hazard : hazards_of(chemistry_, report_.chemistry, releases_)) {
            report_.hazards.push_back({std::move(hazard.where), std::move(hazard.what),
                                       std::move(hazard.words), std::move(hazard.source)});
        }
        const auto index = static_cast<std::size_t>(field::at(Holder::material, "hazard"));
        for (std::size_t i = 0; i < materials_.size(); ++i) {
            if (!materials_[i]->fields[index].is(ValueKind::list))
                continue;
            for (const Value& words : materials_[i]->fields[index].as_list()) {
                report_.hazards.push_back({"", std::string(report_.ingredients[i].title),
                                           std::string(words.as_text()), ""});
            }
        }
    }

    void add_remarks() {
        const GlazeChemistry& made = report_.chemistry;
        if (std::abs(report_.base_parts - 100) > as_a_hundred && report_.base_parts > 0) {
            report_.remarks.push_back(fmt::format(
                "The recipe comes to {} parts; per cent are of that, and nothing was changed.",
                print_number(report_.base_parts, 3)));
        }
        if (report_.addition_parts > 0) {
            report_.remarks.emplace_back(
                "Additions are per cent over the base, and count in everything below.");
        }
        if (made.without_loss >= 0) {
            report_.remarks.push_back(
                fmt::format("The loss of {} is not known, so that of the glaze is not either.",
                            title_of(made.without_loss)));
        }
        if (made.without_gas >= 0) {
            report_.remarks.push_back(fmt::format("Which gas {} gives off is not known; `gas "
                                                  "water`, say, in the material would tell.",
                                                  title_of(made.without_gas)));
        }
        if (made.without_range >= 0) {
            report_.remarks.push_back(fmt::format(
                "When the gas of {} leaves in a glaze is not known; `leaves 700C to 900C`, say, "
                "in the material would tell.",
                title_of(made.without_range)));
        }
        if (made.unaccounted > 0.001) {
            report_.remarks.push_back(fmt::format(
                "{}% of the dry glaze is in no analysis of its materials; it is taken as something "
                "that neither melts nor leaves.",
                print_number(100 * made.unaccounted, 1)));
        }
    }

    std::string_view title_of(int portion) const {
        return report_.ingredients[static_cast<std::size_t>(portion)].title;
    }

    const Program& program_;
    const Chemistry& chemistry_;
    const Profile& profile_;
    GlazeReport report_;
    std::vector<Portion> portions_;
    std::vector<const Profile*> materials_;
    std::vector<GasRelease> releases_;
};

} // namespace

GlazeReport report_on_glaze(const Program& program, const Chemistry& chemistry,
                            const Profile& profile) {
    return Reporter(program, chemistry, profile).make();
}

FamilyReport report_on_family(const Program& program, const Chemistry& chemistry,
                              const Profile& profile) {
    FamilyReport family;
    family.name = program.name(program.declarations[profile.declaration].name);
    family.title = profile.title;
    family.about = profile.about;
    for (const GlazeMember& member : program.families[profile.family].members) {
        GlazeReport report = report_on_glaze(program, chemistry, member.profile);
        report.name = fmt::format("{}_{}", family.name, family.members.size() + 1);
        family.fires = report.fires;
        family.atmosphere = report.atmosphere;
        family.members.push_back({member.label, member.row, member.column, std::move(report)});
    }
    return family;
}

Batch batch_of(const GlazeReport& report, double dry_kg) {
    Batch batch;
    batch.dry_kg = dry_kg;
    double total = 0;
    for (const GlazeIngredient& part : report.ingredients) {
        BatchLine line;
        line.name = part.name;
        line.title = part.title;
        line.addition = part.addition;
        line.dry_kg = dry_kg * part.dry_share;
        line.moisture_known = part.moisture.has_value();
        line.weigh_kg = line.dry_kg / (1 - part.moisture.value_or(0));
        total += line.weigh_kg;
        line.total_kg = total;
        batch.water_kg += line.weigh_kg - line.dry_kg;
        batch.lines.push_back(line);
    }
    return batch;
}

} // namespace fettle
