#!/usr/bin/env python3
"""Invents the logs of examples/harbour_row/logs. Everything in them is made up.

The kiln here is another model than the one in runtime/kiln, on purpose, so that what is fitted to a
log is never fitted to itself: three walls of their own (sides, lid and door) of 36 nodes each, with
a conductivity that rises with temperature; elements and two stacks of ware that exchange heat by
radiation alone; a thermocouple in a tube that lags and drifts; a controller that switches in cycles
and waits for the kiln; mains voltage that wanders; noise; a power cut. The gas kiln is fired by
hand, with a hand's delay.

    python3 tests/examples/invent_logs.py            # writes the logs again, the same bytes
    python3 tests/examples/invent_logs.py --check    # are they what this would write?
    python3 tests/examples/invent_logs.py annex_bottles.csv   # only that one

Needs build/release/fettle (or $FETTLE) for the schedules, and numpy.
"""

import io
import json
import math
import os
import pathlib
import subprocess
import sys

import numpy as np

ROOT = pathlib.Path(__file__).resolve().parents[2]
FETTLE = os.environ.get("FETTLE", str(ROOT / "build/release/fettle"))
LOGS = ROOT / "examples/harbour_row/logs"
SEED = 20260307
SIGMA = 5.670374419e-8
STEP_S = 2.0


class Wall:
    """One-dimensional: hot face first. Layers of (thickness m, k0, k1 per K, density, heat)."""

    def __init__(self, area, layers, nodes=36):
        self.area = area
        depth = sum(layer[0] for layer in layers)
        self.dx = depth / nodes
        middle = (np.arange(nodes) + 0.5) * self.dx
        ends = np.cumsum([layer[0] for layer in layers])
        which = np.searchsorted(ends, middle).clip(max=len(layers) - 1)
        self.k0 = np.array([layers[i][1] for i in which])
        self.k1 = np.array([layers[i][2] for i in which])
        self.rho_c = np.array([layers[i][3] * layers[i][4] for i in which])
        self.t = np.full(nodes, 293.15)

    def step(self, into_w, ambient_k, dt):
        k = self.k0 + self.k1 * (self.t - 273.15)
        between = 2 * k[1:] * k[:-1] / (k[1:] + k[:-1]) / self.dx
        flow = between * (self.t[:-1] - self.t[1:])
        outer = self.t[-1]
        lost = 9.0 * (outer - ambient_k) + 0.85 * SIGMA * (outer**4 - ambient_k**4)
        gain = np.empty_like(self.t)
        gain[0] = into_w / self.area - flow[0]
        gain[1:-1] = flow[:-1] - flow[1:]
        gain[-1] = flow[-1] - lost
        self.t += dt * gain / (self.rho_c * self.dx)


BRICK = (0.076, 0.19, 2.0e-4, 620.0, 1050.0)  # insulating brick
FIBRE = (0.050, 0.06, 1.9e-4, 130.0, 1100.0)
BOARD = (0.025, 0.10, 1.0e-4, 300.0, 1000.0)

KILNS = {
    "loft": dict(volume=0.18, power=12000.0, ware=45.0, shelf_view=(0.974, 0.99), tube_s=55.0),
    "annex": dict(volume=0.05, power=4500.0, ware=9.0, shelf_view=(0.995, 1.005), tube_s=40.0),
    "yard": dict(volume=0.40, power=52000.0, ware=120.0, shelf_view=(0.955, 0.975), tube_s=80.0),
}


class Kiln:
    def __init__(self, name, rng, worn=0.0, drift_k=0.0, load=1.0):
        parts = KILNS[name]
        side = parts["volume"] ** (1 / 3)
        face = side * side
        self.walls = [
            Wall(3 * face, [BRICK, FIBRE]),
            Wall(2 * face, [BRICK, BOARD]),
            Wall(face, [BRICK, FIBRE, BOARD]),
        ]
        self.parts = parts
        self.power = parts["power"] * (1 - worn)  # elements that aged draw less
        self.drift_k = drift_k  # at 1200 C; grows as the temperature
        self.elements = 293.15
        self.element_j_per_k = 0.6 * parts["power"]
        self.ware = np.array([293.15, 293.15])  # bottom, top
        self.ware_j_per_k = parts["ware"] * load / 2 * 1000.0
        self.ware_area = 2.2 * face
        self.sensor = 293.15
        self.ambient = 293.15 + rng.normal(0, 1.5)
        self.rng = rng
        self.mains = 1.0
        self.joules = 0.0

    def step(self, duty, dt, draught=0.0):
        self.mains += (1 - self.mains) * dt / 1800 + self.rng.normal(0, 0.004) * math.sqrt(dt / 60)
        power = duty * self.power * self.mains**2
        self.joules += power * dt
        faces = [wall.t[0] for wall in self.walls]
        hot = 0.0
        for wall, face in zip(self.walls, faces):
            flow = 0.55 * wall.area * SIGMA * (self.elements**4 - face**4)
            wall.step(flow, self.ambient, dt)
            hot += flow
        for i in (0, 1):
            view = self.parts["shelf_view"][i]
            flow = 0.5 * self.ware_area * SIGMA * ((view ** 0.25 * self.elements) ** 4 - self.ware[i] ** 4)
            cooled = self.ware[i]
            c = self.ware_j_per_k * (0.75 + 2.6e-4 * (cooled - 273.15))
            # chemical water of the clay, and steam, take heat
            sink = 1.0 + 1.4 * math.exp(-(((cooled - 273.15 - 540) / 70) ** 2)) + 0.8 * math.exp(
                -(((cooled - 273.15 - 105) / 15) ** 2)
            )
            self.ware[i] += dt * flow / (c * sink)
            hot += flow
        air = draught * (self.elements - self.ambient)
        self.elements += dt * (power - hot - air) / self.element_j_per_k
        middle = 0.5 * self.ware.mean() + 0.3 * np.mean(faces) + 0.2 * self.elements
        self.sensor += dt * (middle - self.sensor) / self.parts["tube_s"]

    def reading_c(self):
        """What the controller sees: a drifted thermocouple."""
        true = self.sensor - 273.15
        return true + self.drift_k * max(0.0, true) / 1200

    def stack_c(self):
        return self.ware - 273.15


def schedule_of(file, firing):
    path = f"examples/harbour_row/{file}.fettle:{firing}"
    done = subprocess.run(
        [FETTLE, "build", path, "--as", "json", "--into", "-"],
        cwd=ROOT, capture_output=True, check=True,
    )
    return json.loads(done.stdout)


class Cone:
    """First-order heat work through two points of the table of large cones (60 and 150 C/h)."""

    def __init__(self, at_60_c, at_150_c):
        def integral(theta, t):
            grid = np.linspace(400, t, 4000)
            return np.trapezoid(np.exp(-theta / grid), grid) if hasattr(np, "trapezoid") else np.trapz(
                np.exp(-theta / grid), grid
            )

        low, high = 2e4, 3e5
        for _ in range(60):
            theta = (low + high) / 2
            ratio = integral(theta, at_150_c + 273.15) / integral(theta, at_60_c + 273.15)
            low, high = (theta, high) if ratio < 2.5 else (low, theta)
        self.theta = (low + high) / 2
        self.rate = 60 / integral(self.theta, at_60_c + 273.15) / 3600
        self.work = 0.0

    def add(self, celsius, dt):
        if celsius > 600:
            self.work += dt * self.rate * math.exp(-self.theta / (celsius + 273.15))

    def look(self):
        return (
            "standing" if self.work < 0.3 else "bending" if self.work < 0.93
            else "touching" if self.work < 1.23 else "flat"
        )


CONES = {"04": (1063, 1070), "05": (1031, 1046), "03": (1086, 1101), "5": (1185, 1196), "6": (1222, 1241),
         "7": (1239, 1255), "8": (1249, 1269), "9": (1260, 1278), "10": (1285, 1303), "11": (1294, 1312)}


def fire(kiln, document, rng, cut=None, hand=False, delay_s=None, cones=()):
    """Runs the schedule; gives (second, sensor, second sensor, duty) a minute apart, and the cones."""
    rows = []
    segments = document["segments"]
    index, into, waited = 0, 0.0, 0.0
    first_free = next((i for i, s in enumerate(segments) if s["kind"] == "free" and i + 3 >= len(segments)), len(segments))
    integral, set_c, duty = 0.0, document["start"]["temperature_c"], 0.0
    time = 0.0
    start = document["start"]["delay_s"] if delay_s is None else delay_s
    stacks = [{name: Cone(*CONES[name]) for name in cones} for _ in (0, 1)]
    hand_duty, hand_mean, next_look = 0.0, 0.08, 0.0
    while True:
        seen = kiln.reading_c() + rng.normal(0, 0.3)
        powered = not (cut and cut[0] <= time < cut[0] + cut[1])
        draught = 0.0
        if time < start:
            duty = 0.0
        elif index < len(segments):
            segment = segments[index]
            kind = segment["kind"]
            if kind in ("ramp", "soak"):
                length = segment["duration_s"]
                set_c = segment["from_c"] + (segment["to_c"] - segment["from_c"]) * min(1, into / length)
                error = set_c - seen
                # the clock waits at the end of a climb, up to an hour
                behind = error > 4 and kind == "ramp" and into >= length and waited < 3600
                if powered:
                    if behind:
                        waited += STEP_S
                    else:
                        into += STEP_S
                want = 0.045 * error + integral
                if 0 < want < 1:
                    integral += error * STEP_S * 6e-5
                integral = min(max(integral, 0.0), 1.0)
                if hand:
                    if time >= next_look:  # someone looks every four minutes, and turns a little
                        hand_duty = min(1, max(0, 0.009 * error + hand_mean + rng.normal(0, 0.01)))
                        hand_mean = min(1, max(0, hand_mean + 0.0012 * error))
                        next_look = time + 240
                    duty = hand_duty
                else:
                    cycle = (time % 20) / 20
                    duty = 1.0 if cycle < min(1, max(0, want)) else 0.0
                if into >= length and not behind:
                    index, into, waited = index + 1, 0.0, 0.0
            else:
                duty = 0.0
                # shut, then propped, then open, as the jobs of the schedule say
                draught = 60.0 if kind == "opened" else {0: 0.0, 1: 8.0}.get(index - first_free, 30.0)
                if seen <= segment["to_c"]:
                    index += 1
        if not powered:
            duty = 0.0
        kiln.step(duty, STEP_S, draught)
        for stack, celsius in zip(stacks, kiln.stack_c()):
            for cone in stack.values():
                cone.add(celsius, STEP_S)
        if time % 60 < STEP_S:
            rows.append((time, kiln.reading_c() + rng.normal(0, 0.6), kiln.stack_c()[0] + rng.normal(0, 0.8), duty))
        time += STEP_S
        if index >= len(segments) or time > 60 * 3600 or (index >= first_free and seen < 80):
            break
    looks = {
        shelf: {name: cone.look() for name, cone in stack.items()}
        for shelf, stack in zip(("bottom", "top"), stacks)
    }
    return rows, looks


def clock(second, start_h):
    minute = int(second / 60 + start_h * 60 + 0.5)
    return minute // 1440, minute // 60 % 24, minute % 60


# --- the logs, each in a layout of its own, as loggers differ ---


def as_plain(rows, every=1, gap=None):
    out = io.StringIO()
    out.write("# Invented log of an invented kiln: see README.md\n")
    out.write("seconds,kiln_c,bottom_c\n")
    for i, (second, sensor, bottom, _) in enumerate(rows):
        if i % every or (gap and gap[0] <= second < gap[0] + gap[1]):
            continue
        out.write(f"{second:.0f},{sensor:.1f},{bottom:.1f}\n")
    return out.getvalue()


def as_dated(rows, day, start_h, every=1):
    out = io.StringIO()
    out.write("# Invented log of an invented kiln: see README.md\n")
    out.write("date;time;kiln C\n")
    for i, (second, sensor, _, _) in enumerate(rows):
        if i % every:
            continue
        days, hour, minute = clock(second, start_h)
        text = f"{sensor:.1f}".replace(".", ",")
        out.write(f"2026-03-{day + days:02d};{hour:02d}:{minute:02d};{text}\n")
    return out.getvalue()


def as_fahrenheit(rows, every=2):
    out = io.StringIO()
    out.write("# Invented log of an invented kiln: see README.md\n")
    out.write("minutes\tprobe F\tpower %\n")
    for i, (second, sensor, _, duty) in enumerate(rows):
        if i % every == 0:
            out.write(f"{second / 60:.0f}\t{sensor * 1.8 + 32:.0f}\t{100 * duty:.0f}\n")
    return out.getvalue()


def as_millivolts(rows, every=3):
    """Type S, the cold end at 0 C: by a straight table, as a cheap logger would."""
    table_c = [0, 100, 200, 300, 400, 500, 600, 700, 800, 900, 1000, 1100, 1200, 1300]
    table_mv = [0, 0.646, 1.441, 2.323, 3.259, 4.233, 5.239, 6.275, 7.345, 8.449, 9.587, 10.757, 11.951, 13.159]
    out = io.StringIO()
    out.write("# Invented log of an invented kiln: see README.md\n")
    out.write("elapsed,probe type S mV\n")
    for i, (second, sensor, _, _) in enumerate(rows):
        if i % every == 0:
            mv = np.interp(sensor, table_c, table_mv)
            out.write(f"{second // 3600:.0f}:{second // 60 % 60:02.0f}:{second % 60:02.0f},{mv:.3f}\n")
    return out.getvalue()


def seeded(number):
    return np.random.default_rng(SEED + number)


def market(rng):
    kiln = Kiln("loft", rng, worn=0.04, drift_k=4.0)
    document = schedule_of("market", "market_mugs")
    rows, looks = fire(kiln, document, rng, delay_s=1200, cones=("5", "6", "7"))
    return as_plain(rows), looks, kiln.joules


def power_cut(rng):
    kiln = Kiln("loft", rng, worn=0.04)
    document = schedule_of("bisque", "grey_mugs")
    cut = (9.5 * 3600, 1500)
    rows, looks = fire(kiln, document, rng, delay_s=900, cones=("05", "04", "03"), cut=cut)
    return as_dated(rows, 7, 17.5, every=2), looks, kiln.joules


def bottles(rng):
    kiln = Kiln("annex", rng, worn=0.02)
    document = schedule_of("crystalline", "bottles")
    rows, looks = fire(kiln, document, rng, delay_s=300, cones=("8", "9", "10"))
    return as_fahrenheit(rows), looks, kiln.joules


def celadon(rng):
    kiln = Kiln("yard", rng)
    document = schedule_of("reduction", "celadon")
    rows, looks = fire(kiln, document, rng, hand=True, delay_s=600, cones=("9", "10", "11"))
    return as_millivolts(rows), looks, kiln.joules


def worn(rng):
    kiln = Kiln("loft", rng, worn=0.16, drift_k=-7.0)
    document = schedule_of("glaze", "blue_mugs")
    rows, looks = fire(kiln, document, rng, delay_s=1200, cones=("5", "6", "7"))
    return as_plain(rows, gap=(6 * 3600, 1800)), looks, kiln.joules


def book(rng):
    """The loft kiln's book: elements that age, and a sensor that drifts, by two straight lines and
    noise."""
    out = io.StringIO()
    out.write("# The loft kiln's book of firings. Invented: see logs/README.md\n")
    out.write(
        "number,date,firing,log,hours,peak_c,climb_share,hotter_than_sensor_k,cones,meter_kwh,"
        "defects,fitted,note\n"
    )
    out.write(",2026-01-05,,,,,,,,,,elements sensor,\n")
    meter = 10240.0
    for n in range(40, 58):
        day = 6 + 3 * (n - 40)
        if n == 47:
            out.write(f",2026-{1 + day // 28:02d}-{1 + day % 28:02d},,,,,,,,,,sensor,type K as before\n")
        share = 1.0 - 0.0075 * (n - 40) + rng.normal(0, 0.012)
        off = -3.0 + 0.75 * (n - (47 if n >= 47 else 40)) + rng.normal(0, 1.3)
        meter += 57.5 + 0.4 * (n - 40) + rng.normal(0, 1.2)
        glaze = n % 3 != 0
        firing = "market_mugs" if glaze else "grey_mugs"
        peak = (1213 if glaze else 1056) + rng.normal(0, 1)
        hours = (9.2 if glaze else 13.1) / min(1, share + 0.05) + rng.normal(0, 0.05)
        cones = f"{off:.1f}" if glaze else ""
        defects = "pinholes" if n in (44, 53) else ""
        out.write(
            f"{n},2026-{1 + day // 28:02d}-{1 + day % 28:02d},{firing},,{hours:.2f},{peak:.1f},{share:.3f},"
            f"{cones},,{meter:.1f},{defects},,\n"
        )
    return out.getvalue(), {}, 0.0


INVENTED = {
    "loft_market_mugs.csv": market,
    "loft_grey_mugs_power_cut.csv": power_cut,
    "annex_bottles.csv": bottles,
    "yard_celadon.csv": celadon,
    "loft_blue_mugs_worn.csv": worn,
    "../loft_book.csv": book,
}


def words(looks):
    return ", ".join(
        f"{shelf}: " + ", ".join(f"cone {name} {look}" for name, look in cones.items())
        for shelf, cones in looks.items()
    )


def main():
    check = "--check" in sys.argv
    wanted = [name for name in sys.argv[1:] if not name.startswith("--")]
    for number, (name, made) in enumerate(INVENTED.items(), 1):
        if wanted and name not in wanted:
            continue
        text, looks, joules = made(seeded(number))
        path = LOGS / name
        print(f"{name}: {len(text)} bytes, {joules / 3.6e6:.1f} kWh; {words(looks)}", file=sys.stderr)
        if check:
            same = path.exists() and path.read_text() == text
            print(f"ok {name}" if same else f"not ok {name}: is not what the generator writes")
        else:
            path.write_text(text)


if __name__ == "__main__":
    main()
