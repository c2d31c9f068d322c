#!/usr/bin/env python3
"""compiler/library/spdx_licences.txt against the list of SPDX that Debian's packages
node-spdx-license-ids and node-spdx-exceptions carry, and what publishing says about each of them.

Prints "ok NAME" or "not ok NAME: why".
"""

import json
import pathlib
import sys

ROOT = pathlib.Path(__file__).resolve().parents[2]
PACKAGES = pathlib.Path("/usr/share/nodejs")


def listed(kind):
    lines = (ROOT / "compiler/library/spdx_licences.txt").read_text(encoding="utf-8").split("\n")
    return {line.split(" ", 1)[1] for line in lines if line.startswith(kind + " ")}


def main():
    failures = 0
    for kind, file in (("licence", "spdx-license-ids/index.json"),
                       ("old", "spdx-license-ids/deprecated.json"),
                       ("exception", "spdx-exceptions/index.json")):
        path = PACKAGES / file
        if not path.exists():
            print(f"{file} is not there: install node-spdx-license-ids and node-spdx-exceptions.")
            continue
        theirs = set(json.loads(path.read_text(encoding="utf-8")))
        missing, more = theirs - listed(kind), listed(kind) - theirs
        # A newer package may know licences that are not taken over yet, and call others old.
        lost = more - (theirs | listed("old"))
        good = not lost and len(theirs) >= 20 and len(missing) <= len(theirs) // 4
        failures += not good
        print(f"ok the list of SPDX: {kind}" if good else
              f"not ok the list of SPDX: {kind}: missing {sorted(missing)[:5]}, more {sorted(lost)[:5]}")
    return failures != 0


if __name__ == "__main__":
    sys.exit(main())
