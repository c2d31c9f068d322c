#include "runtime/kiln/thermal_net.h"

#include "runtime/kiln/thermal_step.h"

#include <algorithm>
#include <cmath>

namespace fettle {
namespace {

// A cell of the lining: where it lies and what it is of.
struct Cell {
    double begin_m, end_m;
    const LiningLayer* layer;
    double middle_m() const { return (begin_m + end_m) / 2; }
};

// Heat takes about as long through each cell when its thickness goes with the root of the layer's
// diffusivity, here at 600 °C.
std::vector<Cell> cells_of(const KilnModel& model, std::size_t wanted) {
    constexpr double typical_c = 600;
    std::vector<double> weights;
    double sum = 0;
    for (const LiningLayer& layer : model.lining) {
        const double k =
            layer.conductivity_w_per_m_k + layer.conductivity_rise_w_per_m_k2 * typical_c;
        const double diffusivity = k / (layer.density_kg_per_m3 * layer.specific_heat_j_per_kg_k);
        weights.push_back(layer.thickness_m / std::sqrt(diffusivity));
        sum += weights.back();
    }
    std::vector<Cell> cells;
    double depth = 0;
    const std::size_t most = std::clamp(wanted, model.lining.size(), max_cells);
    for (std::size_t n = 0; n < model.lining.size(); ++n) {
        const LiningLayer& layer = model.lining[n];
        auto count = static_cast<std::size_t>(
            std::max(1.0, std::round(static_cast<double>(most) * weights[n] / sum)));
        const std::size_t layers_left = model.lining.size() - n - 1;
        count = std::min(count, max_cells - cells.size() - layers_left);
        for (std::size_t i = 0; i < count; ++i) {
            const double begin =
                depth + layer.thickness_m * static_cast<double>(i) / static_cast<double>(count);
            const double end =
                depth + layer.thickness_m * static_cast<double>(i + 1) / static_cast<double>(count);
            cells.push_back({begin, end, &layer});
        }
        depth += layer.thickness_m;
    }
    return cells;
}

struct Shape { // of a wall whose area grows outwards
    double area_m2, growth_per_m;
    double between(double a, double b) const { // ∫ dx / A
        return (b - a) / (area_m2 * (1 + growth_per_m * a) * (1 + growth_per_m * b));
    }
    double volume(double a, double b) const { // ∫ A dx
        const double ga = 1 + growth_per_m * a, gb = 1 + growth_per_m * b;
        return area_m2 * (b - a) * (ga * ga + ga * gb + gb * gb) / 3;
    }
    double area(double x) const { return area_m2 * std::pow(1 + growth_per_m * x, 2); }
};

void cut_lining(const KilnModel& model, std::size_t wanted, ThermalNet<double>& net) {
    const std::vector<Cell> cells = cells_of(model, wanted);
    const Shape shape{model.inner_area_m2, model.area_growth_per_m};
    net.cells = cells.size();
    for (std::size_t i = 0; i < cells.size(); ++i) {
        const Cell& cell = cells[i];
        const LiningLayer& layer = *cell.layer;
        const std::size_t node = state::first_cell + i;
        net.per_capacity[node] = 1 / (shape.volume(cell.begin_m, cell.end_m) *
                                      layer.density_kg_per_m3 * layer.specific_heat_j_per_kg_k);
        const bool last = i + 1 == cells.size();
        if (!last && cells[i + 1].layer != cell.layer) {
            const LiningLayer& far = *cells[i + 1].layer;
            net.interface_at[net.interfaces] = node;
            net.interface[net.interfaces++] = {layer.conductivity_w_per_m_k,
                                               layer.conductivity_rise_w_per_m_k2 / 2,
                                               far.conductivity_w_per_m_k,
                                               far.conductivity_rise_w_per_m_k2 / 2,
                                               shape.between(cell.middle_m(), cell.end_m),
                                               shape.between(cell.end_m, cells[i + 1].middle_m())};
            continue;
        }
        const double resistance =
            shape.between(cell.middle_m(), last ? cell.end_m : cells[i + 1].middle_m());
        net.face[node] = layer.conductivity_w_per_m_k / resistance;
        net.face_rise[node] = layer.conductivity_rise_w_per_m_k2 / 2 / resistance;
    }
    const double first_half = shape.between(0, cells[0].middle_m());
    net.half = cells[0].layer->conductivity_w_per_m_k / first_half;
    net.half_rise = cells[0].layer->conductivity_rise_w_per_m_k2 / first_half;
    net.area = model.inner_area_m2;
    const double out_area = shape.area(cells.back().end_m);
    net.per_capacity[net.shell()] = 1 / (out_area * model.shell_capacity_j_per_m2_k);
    net.out_convection = out_area * model.outside_convection_w_per_m2_k;
    net.out_radiation = out_area * model.outside_emissivity * stefan_boltzmann;
}

void put_ware(const WareModel& ware, ThermalNet<double>& net) {
    // An empty kiln has a speck of ware, so that nothing is divided by nothing.
    const double mass = std::max(ware.mass_kg, 1e-3);
    net.ware_capacity = mass * ware.specific_heat_j_per_kg_k;
    net.ware_capacity_rise = mass * ware.specific_heat_rise_j_per_kg_k2;
    constexpr double typical_c = 600;
    const double specific_heat =
        ware.specific_heat_j_per_kg_k + ware.specific_heat_rise_j_per_kg_k2 * typical_c;
    const double heat_per_m3 = ware.density_kg_per_m3 * specific_heat;
    // Thin ware is with the chamber; a time below this changes nothing that can be seen.
    constexpr double shortest_lag_s = 10;
    net.ware_conducts = mass * specific_heat;
    net.ware_inside_s = std::max(shortest_lag_s, ware.thickness_m * ware.thickness_m * heat_per_m3 /
                                                     (12 * ware.conductivity_w_per_m_k));
    net.ware_outside = heat_per_m3 * ware.thickness_m / 2;
    for (const HeatSink& sink : ware.sinks) {
        if (!(sink.heat_j > 0))
            continue;
        net.sink[net.sinks++] = {sink.heat_j, sink.begins_c, 1 / (sink.full_c - sink.begins_c),
                                 1 / sink.time_s};
    }
}

} // namespace

ThermalNet<double> thermal_net(const KilnModel& model, std::size_t cells) {
    ThermalNet<double> net;
    if (!model.lining.empty()) {
        cut_lining(model, cells, net);
    } else {
        net.half = 1;
    }
    put_ware(model.ware, net);
    net.inside_convection = model.inside_convection_w_per_m2_k;
    net.inside_radiation = 4 * model.inside_emissivity * stefan_boltzmann;
    // Air and elements: a chamber without shelves is not without any capacity.
    net.chamber_capacity = std::max(model.capacity_j_per_k, 200.0);
    net.chamber_capacity_rise = model.capacity_rise_j_per_k2;
    net.power = model.power_w;
    net.per_flame = std::isinf(model.flame_c) ? 0 : 1 / (model.flame_c - model.ambient_c);
    net.ambient = model.ambient_c;
    net.ambient_radiation = std::pow(model.ambient_c + zero_c_in_k, 4);
    net.direct_loss = model.direct_loss_w_per_k;
    net.opening = model.opening_area_m2 * stefan_boltzmann;
    net.sensor_offset = model.sensor_offset_k;
    net.sensor_tolerance = model.sensor_tolerance_k;
    net.sensor_share = model.sensor_tolerance_share;
    net.sensor_error = model.sensor_error;
    const double capacity = net.chamber_capacity + net.chamber_capacity_rise * 600;
    net.gain = capacity / (model.power_w * model.control.response_s);
    net.integral_gain = net.gain / model.control.integral_s;
    net.back_tracking = 1 / model.control.back_tracking_s;
    return net;
}

StoredHeat stored_heat(const ThermalNet<double>& net, const double* states, const double* before) {
    const auto between = [](double capacity, double rise, double from, double to) {
        return capacity * (to - from) + rise * (to * to - from * from) / 2;
    };
    StoredHeat stored;
    stored.ware_j = between(net.ware_capacity, net.ware_capacity_rise, before[state::ware],
                            states[state::ware]);
    stored.chamber_j = between(net.chamber_capacity, net.chamber_capacity_rise,
                               before[state::chamber], states[state::chamber]);
    if (net.cells > 0) {
        for (std::size_t i = state::first_cell; i < net.nodes(); ++i)
            stored.lining_j += (states[i] - before[i]) / net.per_capacity[i];
    }
    return stored;
}

namespace {

// A chain that has long stood with its chamber at a temperature.
void settle(const ThermalNet<double>& net, double at_c, double* y, double* g) {
    std::fill(y, y + net.nodes(), at_c);
    const std::size_t shell = net.shell();
    constexpr int rounds = 12; // of a chain whose conductance changes little with temperature
    for (int round = 0; round < rounds; ++round) {
        conductances(net, y, g);
        if (net.cells == 0)
            return;
        const double shell_k = y[shell] + zero_c_in_k, room_k = net.ambient + zero_c_in_k;
        const double out = net.out_convection + net.out_radiation *
                                                    (shell_k * shell_k + room_k * room_k) *
                                                    (shell_k + room_k);
        double resistance = 1 / out;
        for (std::size_t i = state::chamber; i < shell; ++i)
            resistance += 1 / g[i];
        const double flow = (at_c - net.ambient) / resistance;
        for (std::size_t i = state::first_cell; i <= shell; ++i)
            y[i] = y[i - 1] - flow / g[i - 1];
    }
}

} // namespace

double fastest_rate_per_s(const ThermalNet<double>& net, double at_c, bool opened) {
    double y[max_states] = {};
    double g[max_nodes];
    settle(net, at_c, y, g);
    const double kelvin = at_c + zero_c_in_k;
    double fastest = net.back_tracking + net.integral_gain / net.gain;
    for (std::size_t i = 0; i < net.nodes(); ++i) {
        double sum = 2 * ((i > 0 ? g[i - 1] : 0) + (i + 1 < net.nodes() ? g[i] : 0));
        double per_capacity = net.per_capacity[i];
        if (i == state::ware) {
            per_capacity = 1 / (net.ware_capacity + net.ware_capacity_rise * at_c);
        } else if (i == state::chamber) {
            per_capacity = 1 / (net.chamber_capacity + net.chamber_capacity_rise * at_c);
            sum += net.power * net.gain + net.direct_loss;
            sum += opened ? 4 * net.opening * std::pow(kelvin, 3) : 0;
        } else if (i == net.shell()) {
            sum += net.out_convection + 4 * net.out_radiation * std::pow(y[i] + zero_c_in_k, 3);
        }
        fastest = std::max(fastest, sum * per_capacity);
    }
    return fastest;
}

} // namespace fettle
