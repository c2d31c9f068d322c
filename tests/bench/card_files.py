#!/usr/bin/env python3
"""Whole processes: N firings (200, 100 and 50 where none is said) on five controllers with every output.

python3 tests/bench/card_files.py [N...]; FETTLE names the program. The time of the same processor in
its own work (user and system) stands beside the time by the clock, which others share.
"""

import os
import pathlib
import resource
import subprocess
import sys
import tempfile
import time

ROOT = pathlib.Path(__file__).resolve().parents[2]
FETTLE = os.environ.get("FETTLE", str(ROOT / "build/release/fettle"))
CONTROLLERS = ["times_few", "times_many_f", "rates_many", "rates_many_f", "either_many"]
OUTPUTS = "csv,json,svg,card,class-card,keying,writing"


def studio(count):
    lines = [f"use std.controllers ({', '.join(CONTROLLERS)})", "use std.bodies (stoneware)"]
    for i, parent in enumerate(CONTROLLERS):
        lines.append(f"controller pad{i} from {parent} {{ max_steps 24 }}")
        lines.append(f"kiln k{i} {{ fuel electric; ceiling 1300C; controller pad{i} }}")
    for firing in range(count):
        for i in range(len(CONTROLLERS)):
            lines.append(f"""firing f{firing}_{i} "Firing {firing} on pad {i}" {{
    body stoneware
    kiln k{i}
    ware {{ thickness 6mm }}
    confirm "Bone dry" by "who loads"
    phase drying "Below boiling" {{
        vent open
        ramp to 85C at 60C/h
        soak {60 + firing % 30}m
        do "Feel at the spyhole"
    }}
    phase bisque {{
        ramp to 540C at 100C/h
        ramp to 630C at 80C/h
        ramp to 900C at 80C/h
        vent closed
        ramp to {1000 + firing % 50}C at 60C/h
        soak 10m
    }}
    phase cooling {{ cool to 100C freely }}
}}""")
    return "\n".join(lines) + "\n"


for count in [int(word) for word in sys.argv[1:]] or [50, 100, 200]:
    with tempfile.TemporaryDirectory() as folder:
        source = pathlib.Path(folder) / "studio.fettle"
        source.write_text(studio(count), encoding="utf-8")
        before = resource.getrusage(resource.RUSAGE_CHILDREN)
        began = time.perf_counter()
        subprocess.run([FETTLE, "build", str(source), "--as", OUTPUTS, "--quiet", "--into",
                        f"{folder}/out"], check=True)
        took = time.perf_counter() - began
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        worked = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
        files = len(os.listdir(f"{folder}/out"))
        print(f"{count} firings x {len(CONTROLLERS)} controllers: {files} files in {took:.2f} s, "
              f"{worked:.2f} s of work")
