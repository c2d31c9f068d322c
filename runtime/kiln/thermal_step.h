// One step in time of a ThermalNet: fourth-order Runge–Kutta where that is stable, and a
// second-order implicit method where it is not (a light fibre lining).
//
// The implicit one is ROS2 of Verwer, Spee, Blom & Hundsdorfer (SIAM J. Sci. Comput. 20, 1456,
// 1999), which stays of second order with any matrix: here with the chain of conductances alone,
// which is tridiagonal. γ = 1 − 1/√2 makes it L-stable.
#pragma once

#include "runtime/kiln/thermal_net.h"

namespace fettle {

// What the controller does during a step. follow 1: keeps to the line `setpoint + slope · t`;
// follow 0: gives `forced` of the power (1: full, 0: off). `open` 1: the kiln stands open.
template <class V> struct Drive { V setpoint{}, slope{}, follow{}, forced{}, open{}; };

template <class V> V limited(const V& value, double low, double high) {
    return smaller(larger(value, V(low)), V(high));
}

template <class V> V sensor_reading(const ThermalNet<V>& net, const V& chamber_c) {
    const V off = larger<V>(net.sensor_share * chamber_c, net.sensor_tolerance);
    return chamber_c + net.sensor_offset + net.sensor_error * off;
}

// Between ware and chamber.
template <class V> V ware_conductance(const ThermalNet<V>& net, const V& inside) {
    return net.ware_conducts * inside / (net.ware_inside_s * inside + net.ware_outside);
}
// Between chamber and the middle of the first cell.
template <class V>
V hot_face_conductance(const ThermalNet<V>& net, const V& inside, const V& cell_c) {
    const V half = net.half + net.half_rise * cell_c;
    const V hot_face = net.area * inside;
    return hot_face * half / (hot_face + half);
}
// Convection and radiation at the hot face and the ware, W/m²/K.
template <class V> V inside_coefficient(const ThermalNet<V>& net, const V& chamber_c) {
    const V kelvin = chamber_c + zero_c_in_k;
    return net.inside_convection + net.inside_radiation * (kelvin * kelvin * kelvin);
}
template <class V>
V interface_conductance(const typename ThermalNet<V>::Interface& face, const V& sum_of_both_c) {
    const V near = face.near_conductivity + face.near_rise * sum_of_both_c;
    const V far = face.far_conductivity + face.far_rise * sum_of_both_c;
    return near * far / (face.near_shape * far + face.far_shape * near);
}

// The conductance behind each node of the chain.
template <class V> void conductances(const ThermalNet<V>& net, const V* y, V* g) {
    const V inside = inside_coefficient(net, y[state::chamber]);
    g[0] = ware_conductance(net, inside);
    g[1] = hot_face_conductance(net, inside, y[state::first_cell]);
    for (std::size_t i = 2; i < net.cells + 2; ++i)
        g[i] = net.face[i] + net.face_rise[i] * (y[i] + y[i + 1]);
    for (std::size_t n = 0; n < net.interfaces; ++n) {
        const std::size_t i = net.interface_at[n];
        g[i] = interface_conductance<V>(net.interface[n], y[i] + y[i + 1]);
    }
}

template <class V>
void derivative(const ThermalNet<V>& net, const Drive<V>& drive, const V& dt, const V* y, V* dy) {
    const V ware_c = y[state::ware], chamber_c = y[state::chamber];
    const V inside = inside_coefficient(net, chamber_c);

    const V error = drive.setpoint + drive.slope * dt - sensor_reading(net, chamber_c);
    const V wished = net.gain * error + y[net.integral()];
    const V share = drive.follow * limited(wished, 0.0, 1.0) + drive.forced;
    dy[net.integral()] =
        drive.follow * net.integral_gain * error + (share - wished) * net.back_tracking;

    const V supplied = net.power * share;
    const V kept = supplied * (1.0 - (chamber_c - net.ambient) * net.per_flame);
    const V kelvin = chamber_c + zero_c_in_k, squared = kelvin * kelvin;
    const V direct = net.direct_loss * (chamber_c - net.ambient) +
                     drive.open * net.opening * (squared * squared - net.ambient_radiation);

    V taken{};
    for (std::size_t i = 0; i < net.sinks; ++i) {
        const auto& sink = net.sink[i];
        const V s = limited<V>((ware_c - sink.begins) * sink.per_span, 0.0, 1.0);
        const V rate = (1.0 - y[net.first_sink() + i]) * s * s * (3.0 - 2.0 * s) * sink.per_time;
        dy[net.first_sink() + i] = rate;
        taken += sink.heat * rate;
    }

    const V from_ware = ware_conductance(net, inside) * (ware_c - chamber_c);
    dy[state::ware] = (-from_ware - taken) / (net.ware_capacity + net.ware_capacity_rise * ware_c);
    V flow = hot_face_conductance(net, inside, y[state::first_cell]) *
             (chamber_c - y[state::first_cell]);
    dy[state::chamber] = (kept + from_ware - flow - direct) /
                         (net.chamber_capacity + net.chamber_capacity_rise * chamber_c);

    const std::size_t shell = net.shell();
    std::size_t i = state::first_cell;
    for (std::size_t n = 0; n <= net.interfaces; ++n) {
        const std::size_t end = n < net.interfaces ? net.interface_at[n] : shell;
        for (; i < end; ++i) {
            const V onward =
                (net.face[i] + net.face_rise[i] * (y[i] + y[i + 1])) * (y[i] - y[i + 1]);
            dy[i] = (flow - onward) * net.per_capacity[i];
            flow = onward;
        }
        if (n < net.interfaces) {
            const V onward =
                interface_conductance<V>(net.interface[n], y[i] + y[i + 1]) * (y[i] - y[i + 1]);
            dy[i] = (flow - onward) * net.per_capacity[i];
            flow = onward;
            ++i;
        }
    }
    const V shell_k = y[shell] + zero_c_in_k, shell_squared = shell_k * shell_k;
    const V out = net.out_convection * (y[shell] - net.ambient) +
                  net.out_radiation * (shell_squared * shell_squared - net.ambient_radiation);
    dy[shell] = (flow - out) * net.per_capacity[shell];
    dy[net.supplied()] = supplied;
    dy[net.lost()] = supplied - kept + direct + out;
}

// Where a step keeps its numbers.
template <class V> struct StepRoom {
    V slope[max_states]{}, sum[max_states]{}, at[max_states]{};
    V upper[max_nodes]{}, lower[max_nodes]{}, per_pivot[max_nodes]{}; // of the implicit one
};

template <class V>
void step_explicit(const ThermalNet<V>& net, const Drive<V>& drive, const V& step_s, V* y,
                   StepRoom<V>& room) {
    const std::size_t n = net.states();
    V* const slope = room.slope;
    V* const sum = room.sum;
    V* const at = room.at;
    const V half = 0.5 * step_s;
    derivative(net, drive, V{}, y, slope);
    for (std::size_t i = 0; i < n; ++i) {
        sum[i] = slope[i];
        at[i] = y[i] + half * slope[i];
    }
    derivative(net, drive, half, at, slope);
    for (std::size_t i = 0; i < n; ++i) {
        sum[i] += 2.0 * slope[i];
        at[i] = y[i] + half * slope[i];
    }
    derivative(net, drive, half, at, slope);
    for (std::size_t i = 0; i < n; ++i) {
        sum[i] += 2.0 * slope[i];
        at[i] = y[i] + step_s * slope[i];
    }
    derivative(net, drive, step_s, at, slope);
    const V sixth = step_s * (1.0 / 6.0);
    for (std::size_t i = 0; i < n; ++i)
        y[i] += sixth * (sum[i] + slope[i]);
}

// I − γ·step·A, factorised, A being the chain of conductances as it is at y.
template <class V>
void factorise_chain(const ThermalNet<V>& net, const Drive<V>& drive, const V& scaled_step,
                     const V* y, StepRoom<V>& room) {
    V* const g = room.sum;
    conductances(net, y, g);
    const V kelvin = y[state::chamber] + zero_c_in_k;
    const V wished =
        net.gain * (drive.setpoint - sensor_reading(net, y[state::chamber])) + y[net.integral()];
    const V zero{}, one(1.0);
    V steered = where_above(wished, zero, drive.follow, zero);
    steered = where_above(one, wished, steered, zero);
    const V shell_k = y[net.shell()] + zero_c_in_k;
    const std::size_t nodes = net.nodes();
    for (std::size_t i = 0; i < nodes; ++i) {
        V capacity = net.per_capacity[i], own{};
        if (i == state::ware) {
            capacity = 1.0 / (net.ware_capacity + net.ware_capacity_rise * y[i]);
        } else if (i == state::chamber) {
            capacity = 1.0 / (net.chamber_capacity + net.chamber_capacity_rise * y[i]);
            own = steered * net.power * net.gain + net.direct_loss +
                  4.0 * drive.open * net.opening * kelvin * kelvin * kelvin;
        } else if (i == net.shell()) {
            own = net.out_convection + 4.0 * net.out_radiation * shell_k * shell_k * shell_k;
        }
        const V scale = scaled_step * capacity;
        const V before = i > 0 ? g[i - 1] : zero, behind = i + 1 < nodes ? g[i] : zero;
        room.lower[i] = -scale * before;
        const V diagonal = 1.0 + scale * (before + behind + own);
        const V pivot = i > 0 ? V(diagonal - room.lower[i] * room.upper[i - 1]) : diagonal;
        room.per_pivot[i] = 1.0 / pivot;
        room.upper[i] = -scale * behind * room.per_pivot[i];
    }
}

template <class V> void solve_chain(const StepRoom<V>& room, std::size_t nodes, V* x) {
    x[0] = x[0] * room.per_pivot[0];
    for (std::size_t i = 1; i < nodes; ++i)
        x[i] = (x[i] - room.lower[i] * x[i - 1]) * room.per_pivot[i];
    for (std::size_t i = nodes - 1; i-- > 0;)
        x[i] -= room.upper[i] * x[i + 1];
}

template <class V>
void step_implicit(const ThermalNet<V>& net, const Drive<V>& drive, const V& step_s, V* y,
                   StepRoom<V>& room) {
    constexpr double gamma = 0.29289321881345254; // 1 − 1/√2
    const std::size_t n = net.states();
    factorise_chain<V>(net, drive, gamma * step_s, y, room);
    V* const first = room.slope;
    V* const second = room.sum;
    V* const at = room.at;
    derivative(net, drive, V{}, y, first);
    solve_chain(room, net.nodes(), first);
    for (std::size_t i = 0; i < n; ++i)
        at[i] = y[i] + step_s * first[i];
    derivative(net, drive, step_s, at, second);
    for (std::size_t i = 0; i < n; ++i)
        second[i] -= 2.0 * first[i];
    solve_chain(room, net.nodes(), second);
    for (std::size_t i = 0; i < n; ++i)
        y[i] += step_s * (1.5 * first[i] + 0.5 * second[i]);
}

} // namespace fettle
