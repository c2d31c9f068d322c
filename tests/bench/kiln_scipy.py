"""SciPy on the firing of kiln_bench (its own equations, in Python: tests/kiln/scipy_kiln.py).

    /usr/bin/python3 tests/bench/kiln_scipy.py
"""

import pathlib
import sys
import time

import numpy as np
from scipy.integrate import solve_ivp

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[1] / "kiln"))
from scipy_kiln import Kiln  # noqa: E402


def main():
    kiln = Kiln(0.18, 12000, 45, [(0.075, 0.103, 0.000125, 520, 1050),
                                  (0.025, 0.02, 0.00025, 128, 1130)], 25, 0.006)
    targets = [(120, 7200), (600, 17280), (600, 1200), (900, 7200), (1222, 322 / 73 * 3600), (1222, 900)]
    for method in ("LSODA", "BDF", "RK45"):
        begin_s, at_c = 0.0, 20.0
        y = np.full(len(kiln.cells) + 4, 20.0)
        y[-1] = 0
        started = time.perf_counter()
        for to_c, seconds in targets:
            answer = solve_ivp(
                kiln.slopes, (begin_s, begin_s + seconds), y, method=method, rtol=1e-6, atol=1e-6,
                args=(lambda t, b=begin_s, a=at_c, c=to_c, d=seconds: a + (c - a) * (t - b) / d,))
            y, begin_s, at_c = answer.y[:, -1], begin_s + seconds, to_c
        print(f"{method}: {1000 * (time.perf_counter() - started):.0f} ms")


if __name__ == "__main__":
    main()
