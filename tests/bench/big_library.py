#!/usr/bin/env python3
"""How long whole processes take on a library of N modules and 4N firings (500 where none is said):
check, a second check after one module changed, the difference of two versions, publishing and the
catalogue.

    python3 tests/bench/big_library.py [N]
"""

import os
import pathlib
import shutil
import subprocess
import sys
import tempfile
import time

ROOT = pathlib.Path(__file__).resolve().parents[2]
FETTLE = os.environ.get("FETTLE", str(ROOT / "build/release/fettle"))

SHARED = """use std.bodies (stoneware_mid)
use std.kilns (electric_class)
body grey from stoneware_mid { thickness 8mm }
kiln loft from electric_class { ceiling 1280C }
"""
MODULE = """use shared (grey, loft)
use std.phases (burnout, water_smoking)
template bisque_{n}(thickness: Length = 8mm, top: Cone = cone 04) "Bisque {n}" {{
    body grey
    kiln loft
    phase drying "Drive off the last water" {{ vent open; follow water_smoking(thickness) }}
    phase red "Quartz and carbon" {{
        ramp to 600C at (100C/h when thickness <= 10mm otherwise 60C/h)
        ramp to 700C at 60C/h
        follow burnout(thickness, grey.organics)
        vent closed
    }}
    phase top {{ ramp to top at {rate}C/h with soak 10m }}
    phase cooling {{ cool to 100C freely }}
}}
firing f{n}_a = bisque_{n}() "Mugs {n}"
firing f{n}_b = bisque_{n}(thickness: 12mm) "Bowls {n}"
firing f{n}_c = bisque_{n}(top: cone 05) "Tiles {n}"
test "{n}" {{ expect f{n}_a.peak < f{n}_b.peak + 50dC }}
firing f{n}_d = bisque_{n}(thickness: 5mm, top: cone 06) "Cups {n}"
"""


def write(folder, modules, version="1.0.0", changed=()):
    folder.mkdir(parents=True)
    (folder / "library.fettle").write_text(
        f'library big.studio {{\n    version {version}\n    licence "CC-BY-4.0"\n'
        '    about "Made up, to be large"\n    needs std 1\n}\n')
    (folder / "shared.fettle").write_text(SHARED)
    for n in range(modules):
        sub = folder / f"part_{n // 50}"
        sub.mkdir(exist_ok=True)
        rate = 50 if n in changed else 60
        (sub / f"m{n}.fettle").write_text(MODULE.format(n=n, rate=rate))


def timed(name, *words, code=0, times=3):
    best = None
    for _ in range(times):
        shutil.rmtree("shelf2", ignore_errors=True)
        begun = time.perf_counter()
        ran = subprocess.run([FETTLE, *words], capture_output=True, check=False)
        took = time.perf_counter() - begun
        assert ran.returncode == code, (ran.stdout + ran.stderr).decode()[-2000:]
        best = took if best is None else min(best, took)
    print(f"{name:<52} {best * 1000:8.0f} ms", flush=True)


def main():
    modules = int(sys.argv[1]) if len(sys.argv) > 1 else 500
    with tempfile.TemporaryDirectory() as place:
        os.chdir(place)
        os.environ["FETTLE_CACHE"] = place + "/cache"
        write(pathlib.Path("old"), modules)
        write(pathlib.Path("new"), modules, "1.0.1", changed={7})
        write(pathlib.Path("other"), modules, "2.0.0", changed=set(range(modules)))
        print(f"{modules} modules, {4 * modules} firings")
        timed("check", "check", "-q", "old")
        timed("test", "test", "-q", "old")
        timed("difference, one module changed", "library", "difference", "old", "new", code=1)
        timed("difference, every module changed", "library", "difference", "-q", "old", "other")
        timed("publish", "library", "publish", "-q", "old", "--into", "shelf2")
        if "--no-catalogue" not in sys.argv:
            timed("catalogue", "library", "catalogue", "-q", "old", "--into", "site", times=1)


if __name__ == "__main__":
    main()
