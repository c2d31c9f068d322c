#!/usr/bin/env python3
"""Every log of examples/harbour_row/logs is judged by the firing that its README names, with the
cones that it names, and says of itself that it is invented.

Prints "ok NAME" or "not ok NAME: why" for each.
"""

import json
import os
import pathlib
import re
import subprocess
import sys

from jsonschema import Draft202012Validator

ROOT = pathlib.Path(__file__).resolve().parents[2]
FETTLE = os.environ.get("FETTLE", str(ROOT / "build/release/fettle"))
STUDIO = ROOT / "examples/harbour_row"
LARGEST = 60_000
SCHEMA = Draft202012Validator(json.loads((ROOT / "docs/judgement.schema.json").read_text()))
DEFECTS = "black_core,bloat,dunt,pinholes,crazing,sticking,underfired,overfired"
# What the invented kiln did, which the judgement must find again.
PEAKS_C = {
    "loft_market_mugs.csv": (1212, 4),
    "loft_grey_mugs_power_cut.csv": (1055, 4),
    "annex_bottles.csv": (1264, 4),
    "yard_celadon.csv": (1270, 12),
    "loft_blue_mugs_worn.csv": (1211, 6),
}


def rows():
    for line in (STUDIO / "logs/README.md").read_text(encoding="utf-8").split("\n"):
        found = re.match(r"\| `(\S+\.csv)` \| `(\S+)` \| [^|]* \| ([^|]*) \|", line)
        if found:
            yield found.groups()


def problem(name, firing, cones):
    log = STUDIO / "logs" / name
    if log.stat().st_size > LARGEST:
        return f"is larger than {LARGEST} bytes"
    if "nvented" not in log.read_text(encoding="utf-8").split("\n", 1)[0]:
        return "does not say that it is invented"
    result = subprocess.run(
        [FETTLE, "judge", firing, f"logs/{name}", "--cones", cones, "--as", "json",
         "--defects", DEFECTS],
        cwd=STUDIO, capture_output=True, timeout=60, check=False,
    )
    if result.returncode not in (0, 1) or result.stderr:
        return f"ended with {result.returncode}: {result.stderr.decode()}"
    judged = json.loads(result.stdout)
    for error in SCHEMA.iter_errors(judged):
        return f"{error.json_path}: {error.message}"
    peak, off = PEAKS_C[name]
    if abs(judged["peak_c"] - peak) > off:
        return f"peaks at {judged['peak_c']}, not within {off} of {peak}"
    if judged["log"]["looks_like_another_firing"]:
        return "is taken for the log of another firing"
    late = [s["index"] for s in judged["segments"][:-1] if s["end"] != "reached"]
    if late:
        return f"steps {late} were not found in it"
    contrary = [s["shelf"] for s in judged["shelves"] if s["hotter_than_sensor_k"] is None]
    if contrary:
        return f"the cones of {contrary} contradict one another"
    if name == "loft_grey_mugs_power_cut.csv" and "power lost" not in str(judged["log"]["notes"]):
        return "the power cut was not found"
    return None


def main():
    failures = 0
    named = set()
    for name, firing, cones in rows():
        named.add(name)
        wrong = problem(name, firing, cones)
        failures += wrong is not None
        print(f"not ok {name}: {wrong}" if wrong else f"ok {name}", flush=True)
    there = {path.name for path in (STUDIO / "logs").glob("*.csv")}
    wrong = named ^ there
    failures += bool(wrong)
    print(f"not ok README: is not of {sorted(wrong)}" if wrong else "ok README", flush=True)
    return failures != 0


if __name__ == "__main__":
    sys.exit(main())
