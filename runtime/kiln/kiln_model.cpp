#include "runtime/kiln/kiln_model.h"

#include "runtime/heatwork/root.h"

#include <cmath>
#include <cstdio>

namespace fettle {
namespace {

class Checking {
  public:
    void above_zero(double value, const char* what, const char* unit) {
        if (!(value > 0) || !std::isfinite(value))
            say(what, value, unit, "it must be above 0");
    }
    void not_below_zero(double value, const char* what, const char* unit) {
        if (!(value >= 0) || !std::isfinite(value))
            say(what, value, unit, "it can't be below 0");
    }
    void between(double value, double low, double high, const char* what, const char* unit) {
        if (value >= low && value <= high)
            return;
        char room[64];
        std::snprintf(room, sizeof room, "it must be between %g and %g", low, high);
        say(what, value, unit, room);
    }
    std::vector<KilnProblem> take() && { return std::move(problems_); }

  private:
    void say(const char* what, double value, const char* unit, const char* rule) {
        char room[200];
        std::snprintf(room, sizeof room, "%s is %.6g%s%s; %s", what, value, *unit ? " " : "", unit,
                      rule);
        problems_.push_back({room});
    }
    std::vector<KilnProblem> problems_;
};

// Resistance of unit conductivity from depth a to depth b, m⁻¹·m²: ∫ dx / A(x).
double shape_between(const KilnModel& model, double a_m, double b_m) {
    const double ga = 1 + model.area_growth_per_m * a_m, gb = 1 + model.area_growth_per_m * b_m;
    return (b_m - a_m) / (model.inner_area_m2 * ga * gb);
}

double inside_coefficient(const KilnModel& model, double chamber_c) {
    const double t = chamber_c + zero_c_in_k;
    return model.inside_convection_w_per_m2_k +
           4 * model.inside_emissivity * stefan_boltzmann * t * t * t;
}

// What the shell gives to the room when a flow of heat has come through the lining, less the flow.
double shell_surplus(const KilnModel& model, double chamber_c, double flow_w) {
    double at_c = chamber_c - flow_w / (model.inner_area_m2 * inside_coefficient(model, chamber_c));
    double depth_m = 0;
    for (const LiningLayer& layer : model.lining) {
        // Kirchhoff's transform of a conductivity that is linear in temperature.
        const double k = layer.conductivity_w_per_m_k, rise = layer.conductivity_rise_w_per_m_k2;
        const double drop = flow_w * shape_between(model, depth_m, depth_m + layer.thickness_m);
        depth_m += layer.thickness_m;
        const double theta = k * at_c + rise * at_c * at_c / 2 - drop;
        if (rise == 0) {
            at_c = theta / k;
        } else {
            const double inside = k * k + 2 * rise * theta;
            at_c = inside > 0 ? (std::sqrt(inside) - k) / rise : -zero_c_in_k;
        }
    }
    const double grown = 1 + model.area_growth_per_m * depth_m;
    const double area = model.inner_area_m2 * grown * grown;
    const double shell_k = std::max(0.0, at_c + zero_c_in_k);
    const double room_k = model.ambient_c + zero_c_in_k;
    return area * (model.outside_convection_w_per_m2_k * (at_c - model.ambient_c) +
                   model.outside_emissivity * stefan_boltzmann *
                       (std::pow(shell_k, 4) - std::pow(room_k, 4))) -
           flow_w;
}

} // namespace

std::vector<KilnProblem> check_kiln_model(const KilnModel& model) {
    Checking check;
    check.above_zero(model.power_w, "the kiln's power", "W");
    check.between(model.ambient_c, -60, 60, "the temperature of the room", "C");
    check.not_below_zero(model.capacity_j_per_k, "the heat capacity of the kiln", "J/K");
    check.not_below_zero(model.direct_loss_w_per_k, "the kiln's direct loss", "W/K");
    check.not_below_zero(model.opening_area_m2, "the kiln's opening", "m2");
    check.between(model.sensor_offset_k, -200, 200, "the sensor's offset", "K");
    if (!(model.flame_c > 1400))
        check.between(model.flame_c, 1400, 3000, "the temperature of the flame", "C");
    if (!model.lining.empty()) {
        check.above_zero(model.inner_area_m2, "the area of the lining", "m2");
        check.between(model.area_growth_per_m, 0, 100, "the growth of the lining's area", "1/m");
    }
    for (const LiningLayer& layer : model.lining) {
        check.between(layer.thickness_m, 0.001, 2, "the thickness of a lining", "m");
        check.above_zero(layer.conductivity_w_per_m_k, "the conductivity of a lining", "W/m/K");
        check.not_below_zero(layer.conductivity_rise_w_per_m_k2,
                             "the rise of a lining's conductivity", "W/m/K2");
        check.above_zero(layer.density_kg_per_m3, "the density of a lining", "kg/m3");
        check.above_zero(layer.specific_heat_j_per_kg_k, "the specific heat of a lining", "J/kg/K");
    }
    if (model.lining.empty()) {
        check.above_zero(model.direct_loss_w_per_k, "the heat loss of a kiln without a lining",
                         "W/K");
        check.above_zero(model.capacity_j_per_k, "the heat capacity of a kiln without a lining",
                         "J/K");
    }
    const WareModel& ware = model.ware;
    check.not_below_zero(ware.mass_kg, "the mass of the ware", "kg");
    if (ware.mass_kg > 0) {
        check.above_zero(ware.specific_heat_j_per_kg_k, "the specific heat of the ware", "J/kg/K");
        check.between(ware.thickness_m, 0.0005, 1, "the thickness of the ware", "m");
        check.above_zero(ware.conductivity_w_per_m_k, "the conductivity of the ware", "W/m/K");
        check.above_zero(ware.density_kg_per_m3, "the density of the ware", "kg/m3");
    }
    for (const HeatSink& sink : ware.sinks)
        check.not_below_zero(sink.heat_j, "the heat that a change in the ware takes", "J");
    return std::move(check).take();
}

double area_of_chamber_m2(double volume_m3) {
    const double side = std::cbrt(volume_m3);
    return 6 * side * side;
}

double area_growth_per_m(double volume_m3) {
    // Edges: 12 · 0.54 · side is the growth of 6 side² (1 + g x)² / x to first order, g
    // = 1.08/side.
    return 1.08 / std::cbrt(volume_m3);
}

double steady_loss_w(const KilnModel& model, double chamber_c) {
    const double direct = model.direct_loss_w_per_k * (chamber_c - model.ambient_c);
    if (model.lining.empty() || chamber_c <= model.ambient_c)
        return direct;
    // More can't pass than would through the hot face alone.
    const double most =
        model.inner_area_m2 * inside_coefficient(model, chamber_c) * (chamber_c - model.ambient_c);
    const auto shortfall = [&](double flow) { return -shell_surplus(model, chamber_c, flow); };
    const double at_zero = shortfall(0), at_most = shortfall(most);
    if (!(at_zero < 0 && at_most >= 0))
        return direct + most;
    return direct + root_of_rising(shortfall, 0, at_zero, most, at_most, most * 1e-12);
}

bool fit_conductivity(KilnModel& model, double chamber_c, double loss_w) {
    const auto scaled = [&](double factor) {
        KilnModel trial = model;
        for (LiningLayer& layer : trial.lining) {
            layer.conductivity_w_per_m_k *= factor;
            layer.conductivity_rise_w_per_m_k2 *= factor;
        }
        return trial;
    };
    if (model.lining.empty())
        return false;
    const auto surplus = [&](double log_factor) {
        return steady_loss_w(scaled(std::exp(log_factor)), chamber_c) - loss_w;
    };
    const double low = std::log(0.02), high = std::log(50.0);
    const double at_low = surplus(low), at_high = surplus(high);
    if (!(at_low < 0 && at_high >= 0))
        return false;
    model = scaled(std::exp(root_of_rising(surplus, low, at_low, high, at_high, 1e-10)));
    return true;
}

double heat_capacity_j_per_k(const KilnModel& model, double at_c) {
    return model.capacity_j_per_k + model.capacity_rise_j_per_k2 * at_c +
           model.ware.mass_kg * (model.ware.specific_heat_j_per_kg_k +
                                 model.ware.specific_heat_rise_j_per_kg_k2 * at_c);
}

} // namespace fettle
