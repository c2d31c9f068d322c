// A kiln cut into pieces that each have one temperature: a chain
//
//     ware — chamber — cell — … — cell — shell — room
//
// with a conductance between neighbours. Templates over the number: a `double`, or a vector of
// doubles whose lanes are firings of their own (Lanes), so that both take the same operations in
// the same order and agree to the last bit.
#pragma once

#include "runtime/kiln/kiln_model.h"
#include "runtime/kiln/lanes.h"

#include <cstddef>

namespace fettle {

inline constexpr std::size_t max_cells = 120;     // of the lining
inline constexpr std::size_t max_interfaces = 11; // between layers

// States: temperatures in °C along the chain, then what is added up.
namespace state {
inline constexpr std::size_t ware = 0, chamber = 1, first_cell = 2;
}
inline constexpr std::size_t max_nodes = max_cells + 3;
inline constexpr std::size_t max_states = max_nodes + 3 + sink_kinds;

template <class V> struct ThermalNet {
    std::size_t cells = 0;      // of the lining; 0: there is none
    std::size_t sinks = 0;      // sinks that take heat
    std::size_t interfaces = 0; // between layers

    std::size_t nodes() const { return cells + 3; }
    std::size_t shell() const { return cells + 2; }
    std::size_t integral() const { return cells + 3; }   // of the control, in shares of the power
    std::size_t supplied() const { return cells + 4; }   // J from the socket or the fuel
    std::size_t lost() const { return cells + 5; }       // J to the room and up the flue
    std::size_t first_sink() const { return cells + 6; } // share of each that has happened
    std::size_t states() const { return cells + 6 + sinks; }

    // Conductance of the face behind node i, W/K: face + face_rise · (T_i + T_{i+1}). Faces 0 and 1
    // and those between layers are worked out otherwise.
    V face[max_nodes]{}, face_rise[max_nodes]{};
    V per_capacity[max_nodes]{}; // K/J, of cells and shell
    V half{}, half_rise{};       // of the first half cell: half + half_rise · T
    V area{};                    // of the hot face
    V inside_convection{}, inside_radiation{};
    struct Interface {
        V near_conductivity{}, near_rise{}, far_conductivity{}, far_rise{}; // rise · (T_i + T_j)
        V near_shape{}, far_shape{};                                        // 1/m
    } interface[max_interfaces];
    std::size_t interface_at[max_interfaces]{}; // face

    V ware_conducts{}, ware_inside_s{}, ware_outside{};
    V ware_capacity{}, ware_capacity_rise{};
    V chamber_capacity{}, chamber_capacity_rise{};
    V power{}, per_flame{}, ambient{}, direct_loss{};
    V opening{}, ambient_radiation{}; // σ·area, and K⁴
    V out_convection{}, out_radiation{};
    V sensor_offset{}, sensor_tolerance{}, sensor_share{}, sensor_error{};
    V gain{}, integral_gain{}, back_tracking{};
    struct Sink {
        V heat{}, begins{}, per_span{}, per_time{};
    } sink[sink_kinds];
};

// Every number of a net, by reference, in a fixed order: f(of_a, of_b).
template <class A, class B, class F>
void for_each_number(ThermalNet<A>& a, const ThermalNet<B>& b, F f) {
    for (std::size_t i = 0; i < b.nodes(); ++i) {
        f(a.face[i], b.face[i]);
        f(a.face_rise[i], b.face_rise[i]);
        f(a.per_capacity[i], b.per_capacity[i]);
    }
    for (std::size_t i = 0; i < b.interfaces; ++i) {
        auto& to = a.interface[i];
        const auto& from = b.interface[i];
        f(to.near_conductivity, from.near_conductivity);
        f(to.near_rise, from.near_rise);
        f(to.far_conductivity, from.far_conductivity);
        f(to.far_rise, from.far_rise);
        f(to.near_shape, from.near_shape);
        f(to.far_shape, from.far_shape);
    }
    for (std::size_t i = 0; i < sink_kinds; ++i) {
        f(a.sink[i].heat, b.sink[i].heat);
        f(a.sink[i].begins, b.sink[i].begins);
        f(a.sink[i].per_span, b.sink[i].per_span);
        f(a.sink[i].per_time, b.sink[i].per_time);
    }
    const auto all = [&](auto... member) { (f(a.*(member.first), b.*(member.second)), ...); };
#define FETTLE_BOTH(m) std::pair(&ThermalNet<A>::m, &ThermalNet<B>::m)
    all(FETTLE_BOTH(half), FETTLE_BOTH(half_rise), FETTLE_BOTH(area),
        FETTLE_BOTH(inside_convection), FETTLE_BOTH(inside_radiation), FETTLE_BOTH(ware_conducts),
        FETTLE_BOTH(ware_inside_s), FETTLE_BOTH(ware_outside), FETTLE_BOTH(ware_capacity),
        FETTLE_BOTH(ware_capacity_rise), FETTLE_BOTH(chamber_capacity),
        FETTLE_BOTH(chamber_capacity_rise), FETTLE_BOTH(power), FETTLE_BOTH(per_flame),
        FETTLE_BOTH(ambient), FETTLE_BOTH(direct_loss), FETTLE_BOTH(opening),
        FETTLE_BOTH(ambient_radiation), FETTLE_BOTH(out_convection), FETTLE_BOTH(out_radiation),
        FETTLE_BOTH(sensor_offset), FETTLE_BOTH(sensor_tolerance), FETTLE_BOTH(sensor_share),
        FETTLE_BOTH(sensor_error), FETTLE_BOTH(gain), FETTLE_BOTH(integral_gain),
        FETTLE_BOTH(back_tracking));
#undef FETTLE_BOTH
}

// A kiln with about `cells` cells in its lining, shared out so that heat takes about as long
// through each. The model must be sound (check_kiln_model).
ThermalNet<double> thermal_net(const KilnModel& model, std::size_t cells);

// Heat stored between two temperatures of the whole kiln, J.
struct StoredHeat {
    double ware_j = 0, chamber_j = 0, lining_j = 0;
    double sum() const { return ware_j + chamber_j + lining_j; }
};
StoredHeat stored_heat(const ThermalNet<double>& net, const double* states, const double* before);

// The fastest rate in the net, 1/s, when the chamber has long been at a temperature (the lining is
// never hotter than that while it climbs there): the bound of Gershgorin on
// its eigenvalues. Fourth-order Runge–Kutta is stable for steps below 2.78 over it.
double fastest_rate_per_s(const ThermalNet<double>& net, double at_c, bool opened);

} // namespace fettle
