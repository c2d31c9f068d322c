#!/usr/bin/env python3
"""What `fettle glaze --as json` writes is as docs/glaze.schema.json describes it.

Prints "ok NAME" or "not ok NAME: why".
"""

import json
import os
import pathlib
import subprocess
import sys
import tempfile

from jsonschema import Draft202012Validator

ROOT = pathlib.Path(__file__).resolve().parents[2]
FETTLE = os.environ.get("FETTLE", str(ROOT / "build/release/fettle"))
SOURCE = """use std.materials as m
material ash "Nobody knows what it loses" {
    analysis SiO2 40%, CaO 30%, K2O 5%
}
material damp from m.kaolin "Damp" { moisture 8% }
glaze plain "A plain clear" {
    about "Of four."
    recipe { m.potash_feldspar 40; m.quartz 30; m.whiting 20; m.kaolin 10 }
    fires cone 9 to cone 11 in oxidation
    surface gloss
}
glaze odd {
    recipe { ash 60; damp 30; m.barium_carbonate 20 }
    add { m.vanadium_pentoxide 4; m.fluorspar 3; m.cobalt_carbonate 1 }
    fires cone 06
}
glaze bare { recipe { m.zinc_oxide 1 } }
"""


def documents(*options):
    with tempfile.TemporaryDirectory() as folder:
        pathlib.Path(folder, "g.fettle").write_text(SOURCE, encoding="utf-8")
        made = subprocess.run([FETTLE, "glaze", "g.fettle", "--as", "json", "-q", *options],
                              cwd=folder, capture_output=True, timeout=60, check=True)
    return [json.loads(line) for line in made.stdout.decode("utf-8").splitlines()]


def main():
    schema = json.loads((ROOT / "docs/glaze.schema.json").read_text(encoding="utf-8"))
    Draft202012Validator.check_schema(schema)
    validator = Draft202012Validator(schema)
    failed = False
    for document in documents() + documents("--batch", "5kg"):
        name = f"{document['glaze']}{' with a batch' if document['batch'] else ''}"
        wrong = [error.message for error in validator.iter_errors(document)]
        # A schema that refuses nothing would be no check.
        lax = [key for key in document
               if validator.is_valid({k: v for k, v in document.items() if k != key})]
        wrong += [f"may be left out: {key}" for key in lax]
        if validator.is_valid({**document, "more": 1}):
            wrong.append("takes a field too many")
        failed |= bool(wrong)
        print(f"not ok {name}: {wrong[0]}" if wrong else f"ok {name}", flush=True)
    return failed


if __name__ == "__main__":
    sys.exit(main())
