#include "compiler/meaning/kiln_profile.h"

#include "compiler/ceramics/ware.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace fettle {
namespace {

// --- what is taken where a profile does not say; each with its source
// -----------------------------

// Shelves and props of cordierite and mullite: 800 J/kg/K at room temperature to 1200 at 600 C and
// more (IEC 60672-3 and refractories handbooks, from memory).
constexpr double furniture_heat_j_per_kg_k = 850, furniture_heat_rise = 0.3;
// Kilograms a litre of chamber (common practice; about what the kilns of std.kilns carry).
constexpr double usual_furniture_kg_per_l = 0.2;
constexpr double usual_ware_kg_per_l = 0.12;
constexpr double usual_thickness_m = 0.006;
// Of the whole loss, the share that leaves by the lid's edge, spyholes and elements' leads rather
// than through the lining (common practice in the heat balances of furnaces: a fifth to a third).
constexpr double openings_share = 0.2;
// At this temperature `heat_loss` is measured.
constexpr double loss_measured_at_c = 1000;
// Of the flame with the air that a studio kiln takes (common practice; from memory).
constexpr double gas_flame_c = 1650, wood_flame_c = 1500;
// IAPWS-IF97 at 100 C.
constexpr double evaporation_j_per_kg = 2256.5e3;
// Kaolinite 600 kJ/kg (155 kJ/mol: Schieltz & Soliman, Clays Clay Miner. 13, 1964; Weber & Roy
// 1965; from memory, ±15 %); a body is taken as half kaolinite (common practice). It leaves at 400
// to 700 C (Clays Clay Miner. 2020, doi 10.1007/s42860-020-00082-w).
constexpr double chemical_water_j_per_kg = 0.5 * 600e3;
// Calcite, from the standard enthalpies of formation (CODATA, from memory).
constexpr double carbonate_j_per_kg = 1781e3;
// How fast these changes go when they go at full speed; water's time grows with the square of the
// thickness, an hour or so for 8 mm in all (common practice).
constexpr double water_time_s = 900, water_thickness_m = 0.008;
constexpr double chemical_water_time_s = 1200, carbonate_time_s = 1200;

// --------------------------------------------------------------------------------------------------

class Fields {
  public:
    Fields(const Profile& profile, Holder holder) : profile_(profile), holder_(holder) {}

    const Value& value(std::string_view name) const {
        return profile_.fields[static_cast<std::size_t>(field::at(holder_, name))];
    }
    std::optional<double> operator()(std::string_view name) const {
        const Value& found = value(name);
        return found.is(ValueKind::quantity) ? std::optional(found.number) : std::nullopt;
    }

  private:
    const Profile& profile_;
    Holder holder_;
};

class Describing {
  public:
    Describing(const Program& program, std::uint32_t kiln)
        : program_(program), profile_(program.profiles[kiln]), kiln_(profile_, Holder::kiln) {}

    DescribedKiln run() {
        power_and_fuel();
        chamber();
        lining();
        measured();
        for (const ProfileShelf& shelf : profile_.shelves)
            model_.shelves.push_back({std::string(program_.name(shelf.name)), shelf.difference_k});
        if (!missing_.empty())
            return {std::nullopt, std::move(missing_), {}};
        return {std::move(model_), {}, std::move(assumed_)};
    }

  private:
    void power_and_fuel() {
        if (const auto power = kiln_("power")) {
            model_.power_w = *power;
        } else {
            missing_.push_back("power");
        }
        const Value& fuel = kiln_.value("fuel");
        if (fuel.is(ValueKind::choice)) {
            const std::string_view word = program_.name(fuel.index);
            if (word == "gas")
                model_.flame_c = gas_flame_c;
            if (word == "wood")
                model_.flame_c = wood_flame_c;
        } else {
            assumed_.push_back("fuel electric");
        }
        model_.ambient_c = kiln_("ambient").value_or(model_.ambient_c);
        model_.sensor_offset_k = kiln_("sensor_offset").value_or(0);
    }

    void chamber() {
        const auto volume_m3 = kiln_("volume");
        if (volume_m3 && *volume_m3 > 0) {
            model_.inner_area_m2 = area_of_chamber_m2(*volume_m3);
            model_.area_growth_per_m = area_growth_per_m(*volume_m3);
            model_.opening_area_m2 = model_.inner_area_m2 / 6; // a lid or a door
        } else {
            missing_.push_back("volume");
        }
        if (const auto capacity = kiln_("heat_capacity")) {
            // Measured over a whole firing, and so the mean of 20C and 1000C.
            constexpr double mean = furniture_heat_j_per_kg_k + furniture_heat_rise * 510;
            model_.capacity_j_per_k = *capacity * furniture_heat_j_per_kg_k / mean;
            model_.capacity_rise_j_per_k2 = *capacity * furniture_heat_rise / mean;
            return;
        }
        double furniture_kg = 0;
        if (const auto mass = kiln_("furniture")) {
            furniture_kg = *mass;
        } else if (volume_m3) {
            furniture_kg = std::round(*volume_m3 * 1000 * usual_furniture_kg_per_l * 10) / 10;
            assumed_.push_back(fmt::format("furniture {}kg (common practice: {} kg a litre)",
                                           print_number(furniture_kg), usual_furniture_kg_per_l));
        }
        model_.capacity_j_per_k = furniture_kg * furniture_heat_j_per_kg_k;
        model_.capacity_rise_j_per_k2 = furniture_kg * furniture_heat_rise;
    }

    void lining() {
        for (const ProfileLining& layer : profile_.lining) {
            if (layer.insulation == none)
                continue;
            const Profile& insulation = program_.profiles[layer.insulation];
            const Fields of(insulation, Holder::insulation);
            const auto name = program_.name(program_.declarations[insulation.declaration].name);
            const auto need = [&](std::string_view field) {
                const auto found = of(field);
                if (!found)
                    missing_.push_back(fmt::format("{} of its lining {}", field, name));
                return found.value_or(0);
            };
            LiningLayer& to = model_.lining.emplace_back();
            to.thickness_m = layer.thickness_m;
            to.conductivity_w_per_m_k = need("conductivity");
            to.conductivity_rise_w_per_m_k2 = of("conductivity_rise").value_or(0);
            to.density_kg_per_m3 = need("density");
            to.specific_heat_j_per_kg_k = need("specific_heat");
        }
        if (model_.lining.empty() && !(kiln_("heat_capacity") && kiln_("heat_loss")))
            missing_.push_back("lining (or both heat_capacity and heat_loss)");
    }

    void measured() {
        const double above_room_k = loss_measured_at_c - model_.ambient_c;
        const auto loss = kiln_("heat_loss");
        if (model_.lining.empty()) {
            model_.direct_loss_w_per_k = loss.value_or(0);
            return;
        }
        if (!missing_.empty() || !check_kiln_model(model_).empty())
            return;
        if (loss && fit_conductivity(model_, loss_measured_at_c,
                                     (1 - openings_share) * *loss * above_room_k)) {
            model_.direct_loss_w_per_k = openings_share * *loss;
            return;
        }
        model_.direct_loss_w_per_k = openings_share / (1 - openings_share) *
                                     steady_loss_w(model_, loss_measured_at_c) / above_room_k;
    }

    const Program& program_;
    const Profile& profile_;
    Fields kiln_;
    KilnModel model_;
    std::vector<std::string> missing_, assumed_;
};

// --- ware
// -----------------------------------------------------------------------------------------

const Value& ware_field(const FiringWare& ware, std::string_view name) {
    return ware.fields[static_cast<std::size_t>(field::at(Holder::ware, name))];
}
std::optional<double> ware_number(const FiringWare& ware, std::string_view name) {
    const Value& value = ware_field(ware, name);
    return value.is(ValueKind::quantity) ? std::optional(value.number) : std::nullopt;
}

class Loading {
  public:
    Loading(const Program& program, std::uint32_t kiln, std::span<const FiringWare> ware,
            DescribedKiln& described)
        : program_(program), kiln_(program.profiles[kiln], Holder::kiln), ware_(ware),
          described_(described), model_(*described.model) {}

    void run() {
        const double boiling_c = boiling_point_c(kiln_("altitude").value_or(0));
        for (const FiringWare& group : ware_)
            add(group);
        if (mass_unknown_)
            assume_mass();
        WareModel& ware = model_.ware;
        if (ware.mass_kg <= 0)
            return;
        ware.specific_heat_j_per_kg_k = heat_ / ware.mass_kg;
        ware.specific_heat_rise_j_per_kg_k2 = heat_rise_ / ware.mass_kg;
        ware.thickness_m = thickness_m_ > 0 ? thickness_m_ : usual_thickness_m;
        const double slower = std::max(1.0, std::pow(ware.thickness_m / water_thickness_m, 2));
        auto& sinks = ware.sinks;
        sinks[static_cast<std::size_t>(SinkKind::water)] = {water_kg_ * evaporation_j_per_kg,
                                                            boiling_c - 45, boiling_c + 15,
                                                            water_time_s * slower};
        sinks[static_cast<std::size_t>(SinkKind::chemical_water)] = {chemical_water_j_, 400, 650,
                                                                     chemical_water_time_s};
        sinks[static_cast<std::size_t>(SinkKind::carbonate)] = {carbonate_j_, 700, 900,
                                                                carbonate_time_s};
    }

  private:
    void add(const FiringWare& group) {
        const auto mass = ware_number(group, "mass");
        if (!mass) {
            mass_unknown_ = true;
            unknown_.push_back(&group);
            return;
        }
        add(group, *mass);
    }

    void add(const FiringWare& group, double mass_kg) {
        WareModel& ware = model_.ware;
        ware.mass_kg += mass_kg;
        double heat = usual_.specific_heat_j_per_kg_k;
        double rise = usual_.specific_heat_rise_j_per_kg_k2;
        double carbonates = 0;
        const Value& body = ware_field(group, "body");
        const double thickness = ware_number(group, "thickness").value_or(0);
        if (body.is(ValueKind::profile)) {
            const Fields of(program_.profiles[body.index], Holder::body);
            if (const auto given = of("specific_heat")) {
                heat = *given;
                rise = 0;
            }
            carbonates = of("carbonates").value_or(0);
            if (thickness >= thickness_m_) {
                ware.conductivity_w_per_m_k =
                    of("conductivity").value_or(ware.conductivity_w_per_m_k);
                ware.density_kg_per_m3 = of("density").value_or(ware.density_kg_per_m3);
            }
        }
        thickness_m_ = std::max(thickness_m_, thickness);
        heat_ += mass_kg * heat;
        heat_rise_ += mass_kg * rise;
        water_kg_ += mass_kg * ware_number(group, "moisture").value_or(0);
        if (is_raw(group)) {
            chemical_water_j_ += mass_kg * chemical_water_j_per_kg;
            carbonate_j_ += mass_kg * carbonates * carbonate_j_per_kg;
        }
    }

    // Where nothing is said: damp ware without a glaze has not been fired.
    bool is_raw(const FiringWare& group) const {
        const Value& state = ware_field(group, "state");
        if (state.is(ValueKind::choice))
            return program_.name(state.index) == "raw";
        return ware_number(group, "moisture").value_or(0) > 0 &&
               !ware_field(group, "glaze").is(ValueKind::profile);
    }

    void assume_mass() {
        const double whole_kg = usual_ware_kg_per_l * kiln_("volume").value_or(0) * 1000;
        const double left_kg = std::round(std::max(0.0, whole_kg - model_.ware.mass_kg) * 10) / 10;
        for (const FiringWare* group : unknown_)
            add(*group, left_kg / static_cast<double>(unknown_.size()));
        described_.assumed.push_back(fmt::format("ware {}kg (common practice: {} kg a litre)",
                                                 print_number(left_kg), usual_ware_kg_per_l));
    }

    const Program& program_;
    Fields kiln_;
    std::span<const FiringWare> ware_;
    DescribedKiln& described_;
    KilnModel& model_;
    bool mass_unknown_ = false;
    std::vector<const FiringWare*> unknown_;
    const WareModel usual_{};
    double heat_ = 0, heat_rise_ = 0, thickness_m_ = 0;
    double water_kg_ = 0, chemical_water_j_ = 0, carbonate_j_ = 0;
};

} // namespace

DescribedKiln describe_kiln(const Program& program, std::uint32_t kiln) {
    return Describing(program, kiln).run();
}

DescribedKiln describe_kiln(const Program& program, std::uint32_t kiln,
                            std::span<const FiringWare> ware) {
    DescribedKiln described = describe_kiln(program, kiln);
    if (described.model)
        Loading(program, kiln, ware, described).run();
    return described;
}

std::string missing_words(const Program& program, std::uint32_t kiln,
                          const std::vector<std::string>& missing) {
    std::string words;
    for (std::size_t i = 0; i < missing.size(); ++i) {
        words += i == 0 ? "" : i + 1 == missing.size() ? " and " : ", ";
        words += missing[i];
    }
    const Profile& profile = program.profiles[kiln];
    return fmt::format("{} of {}", words,
                       program.name(program.declarations[profile.declaration].name));
}

} // namespace fettle
