"""The model of docs/kiln.md a second time, written from its description, as a system of ordinary
differential equations for a solver that knows nothing of kilns."""

import math

import numpy as np
from scipy.optimize import brentq

SIGMA = 5.670374419e-8
KELVIN = 273.15


class Kiln:
    """Volume in m3, power in W, lining as (thickness, k at 0 C, rise of k, density, specific heat)."""

    def __init__(self, volume, power, furniture, lining, ware_kg, ware_thickness, cells=20):
        self.power, self.ambient = power, 20.0
        side = volume ** (1 / 3)
        self.area, self.growth = 6 * side * side, 1.08 / side
        self.capacity = lambda t: furniture * (850 + 0.3 * t)
        self.ware_capacity = lambda t: ware_kg * (850 + 0.27 * t)
        heat = 1900 * (850 + 0.27 * 600)
        self.ware_inside = max(10, ware_thickness ** 2 * heat / (12 * 0.7))
        self.ware_outside = heat * ware_thickness / 2
        self.ware_nominal = ware_kg * (850 + 0.27 * 600)
        self.lining = lining
        self.cut(cells)
        self.direct = 0.0
        wall = self.steady_loss(1000)
        self.direct = 0.2 / 0.8 * wall / 980
        self.gain = self.capacity(600) / (power * 60)

    def cut(self, cells):
        weights = [x / math.sqrt((k + rise * 600) / (rho * c)) for x, k, rise, rho, c in self.lining]
        self.cells, depth = [], 0.0
        for (x, k, rise, rho, c), weight in zip(self.lining, weights):
            count = max(1, round(cells * weight / sum(weights)))
            for i in range(count):
                self.cells.append((depth + x * i / count, depth + x * (i + 1) / count, k, rise, rho * c))
            depth += x
        self.depth = depth

    def resistance(self, a, b):
        return (b - a) / (self.area * (1 + self.growth * a) * (1 + self.growth * b))

    def volume(self, a, b):
        p, q = 1 + self.growth * a, 1 + self.growth * b
        return self.area * (b - a) * (p * p + p * q + q * q) / 3

    def inside(self, t):
        return 8 + 4 * 0.8 * SIGMA * (t + KELVIN) ** 3

    def out(self, t):
        area = self.area * (1 + self.growth * self.depth) ** 2
        return area * (6 * (t - self.ambient)
                       + 0.8 * SIGMA * ((t + KELVIN) ** 4 - (self.ambient + KELVIN) ** 4))

    def steady_loss(self, t):
        def surplus(flow):
            at, depth = t - flow / (self.area * self.inside(t)), 0.0
            for x, k, rise, _, _ in self.lining:
                theta = k * at + rise * at * at / 2 - flow * self.resistance(depth, depth + x)
                at = (math.sqrt(max(0, k * k + 2 * rise * theta)) - k) / rise if rise else theta / k
                depth += x
            return self.out(at) - flow
        return brentq(surplus, 1, 1e6) + self.direct * (t - self.ambient)

    def slopes(self, time, y, setpoint):
        """y: ware, chamber, cells, shell, integral."""
        n = len(self.cells)
        ware, chamber, shell, integral = y[0], y[1], y[n + 2], y[n + 3]
        error = setpoint(time) - chamber
        wished = self.gain * error + integral
        share = min(1.0, max(0.0, wished))
        h = self.inside(chamber)
        from_ware = self.ware_nominal * h / (self.ware_inside * h + self.ware_outside) * (ware - chamber)
        begin, end, k, rise, _ = self.cells[0]
        half = (k + rise * y[2]) / self.resistance(0, (begin + end) / 2)
        flow = self.area * h * half / (self.area * h + half) * (chamber - y[2])
        slopes = np.zeros_like(y)
        slopes[0] = -from_ware / self.ware_capacity(ware)
        slopes[1] = (self.power * share + from_ware - flow
                     - self.direct * (chamber - self.ambient)) / self.capacity(chamber)
        for i, (begin, end, k, rise, heat) in enumerate(self.cells):
            middle, mean = (begin + end) / 2, (y[i + 2] + y[i + 3]) / 2
            near = self.resistance(middle, end) / (k + rise * mean)
            if i + 1 < n:
                b2, e2, k2, rise2, _ = self.cells[i + 1]
                near += self.resistance(end, (b2 + e2) / 2) / (k2 + rise2 * mean)
            onward = (y[i + 2] - y[i + 3]) / near
            slopes[i + 2] = (flow - onward) / (heat * self.volume(begin, end))
            flow = onward
        area = self.area * (1 + self.growth * self.depth) ** 2
        slopes[n + 2] = (flow - self.out(shell)) / (4000 * area)
        slopes[n + 3] = self.gain / 600 * error + (share - wished) / 90
        return slopes
