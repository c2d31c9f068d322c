#!/usr/bin/env python3
"""The same kiln solved by a general solver (SciPy) and by `fettle simulate`, to half a degree.

Prints "ok NAME" or "not ok NAME: why".
"""

import json
import os
import pathlib
import subprocess
import sys
import tempfile

import numpy as np
from scipy.integrate import solve_ivp

from scipy_kiln import Kiln

ROOT = pathlib.Path(__file__).resolve().parents[2]
FETTLE = os.environ.get("FETTLE", str(ROOT / "build/release/fettle"))
SOURCE = """
insulation brick { conductivity 0.103W/metre/K; conductivity_rise 0.000125W/metre/K/K
                   density 520kg/metre3; specific_heat 1050J/kg/K }
insulation fibre { conductivity 0.02W/metre/K; conductivity_rise 0.00025W/metre/K/K
                   density 128kg/metre3; specific_heat 1130J/kg/K }
kiln loft { fuel electric; volume 180L; power POWER; furniture 45kg; ambient 20C
            lining 75mm of brick; lining 25mm of fibre }
firing mugs {
    kiln loft
    ware { mass 25kg; thickness 6mm; state fired }
    phase up { ramp to 600C at 150C/h; ramp to 1100C at 120C/h; soak 20m }
}
"""
CORNERS = [(0, 20), (580 / 150 * 3600, 600), ((580 / 150 + 500 / 120) * 3600, 1100),
           ((580 / 150 + 500 / 120) * 3600 + 1200, 1100)]


def predicted(power_kw):
    with tempfile.TemporaryDirectory() as folder:
        path = pathlib.Path(folder, "a.fettle")
        path.write_text(SOURCE.replace("POWER", f"{power_kw}kW"), encoding="utf-8")
        made = subprocess.run([FETTLE, "simulate", f"{path}:mugs", "--as", "json", "-q"],
                              capture_output=True, timeout=60, check=True)
    return json.loads(made.stdout)


def solved(power_kw, times):
    kiln = Kiln(0.18, power_kw * 1000, 45, [(0.075, 0.103, 0.000125, 520, 1050),
                                            (0.025, 0.02, 0.00025, 128, 1130)], 25, 0.006)
    y = np.full(len(kiln.cells) + 4, 20.0)
    y[-1] = 0
    found = []
    for (begin, low), (end, high) in zip(CORNERS, CORNERS[1:]):
        inside = [min(t, end) for t in times if begin + 1e-6 < t <= end + 0.06]
        answer = solve_ivp(
            kiln.slopes, (begin, end), y, method="LSODA", t_eval=[t for t in inside if t < end] + [end], rtol=1e-7,
            atol=1e-7, max_step=120,
            args=(lambda t, b=begin, l=low, e=end, h=high: l + (h - l) * (t - b) / (e - b),))
        found += list(zip(inside, answer.y[1], answer.y[0]))
        y = answer.y[:, -1]
    return found


def main():
    failed = False
    for power_kw in (12, 7):  # with power to spare, and too weak for the climb
        curve = [p for p in predicted(power_kw)["curve"] if 0 < p["time_s"] <= CORNERS[-1][0]]
        worst = 0
        for point, (_, chamber, ware) in zip(curve, solved(power_kw, [p["time_s"] for p in curve])):
            worst = max(worst, abs(point["kiln_c"] - chamber), abs(point["ware_c"] - ware))
        bad = worst > 0.5 or len(curve) < 100
        failed |= bad
        words = f"{len(curve)} points, at most {worst:.3f} K apart"
        print(f"{'not ok' if bad else 'ok'} SciPy's solution of a kiln of {power_kw} kW"
              f"{': ' + words if bad else ' (' + words + ')'}", flush=True)
    return failed


if __name__ == "__main__":
    sys.exit(main())
