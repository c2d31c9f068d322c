#!/usr/bin/env python3
"""docs/outputs.md names every column of the CSV and every field of the JSON and of the reports.

Prints "ok NAME" or "not ok NAME: why".
"""

import csv
import io
import json
import os
import re
import subprocess
import sys

from blocks import ROOT, working_folder

FETTLE = os.environ.get("FETTLE", str(ROOT / "build/release/fettle"))
PAGE = (ROOT / "docs/outputs.md").read_text(encoding="utf-8")


def columns():
    with working_folder() as folder:
        with open(f"{folder}/a.fettle", "w", encoding="utf-8") as file:
            file.write("firing a { phase up { ramp to 600C at 100C/h } }\n")
        made = subprocess.run([FETTLE, "build", "a.fettle", "--as", "csv", "--into", "-"],
                              cwd=folder, capture_output=True, timeout=60, check=True)
    return next(csv.reader(io.StringIO(made.stdout.decode("utf-8"))))


def fields(schema):
    """The names of all properties, however deep."""
    if isinstance(schema, dict):
        for key, value in schema.items():
            if key == "properties":
                yield from value
            yield from fields(value)
    elif isinstance(schema, list):
        for value in schema:
            yield from fields(value)


def main():
    prose = re.sub(r"```.*?```", "", PAGE, flags=re.S)
    named = set(re.findall(r"\w+", " ".join(re.findall(r"`[^`]+`", prose))))
    wanted = {"columns of the CSV": set(columns())}
    for name in ("schedule", "report", "glaze"):
        schema = json.loads((ROOT / f"docs/{name}.schema.json").read_text(encoding="utf-8"))
        # A controller's table has a page of its own once it is made.
        schema.get("properties", {}).pop("steps", None)
        for key in [key for key in schema.get("$defs", {}) if key.startswith("row_")]:
            del schema["$defs"][key]
        wanted[f"fields of the {name}"] = set(fields(schema))
    failed = False
    for name, words in wanted.items():
        missing = sorted(words - named)
        failed |= bool(missing)
        print(f"not ok {name}: not in docs/outputs.md: {', '.join(missing)}" if missing
              else f"ok {name}", flush=True)
    return failed


if __name__ == "__main__":
    sys.exit(main())
