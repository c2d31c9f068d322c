#!/usr/bin/python3
"""Counts the cases of the test programs for tests/run.sh, from what ctest and GoogleTest wrote into
a folder: prints "passed N" and a line "not ok NAME" for each case that failed. A program that
crashed, or that wrote nothing, counts as a case that failed."""

import pathlib
import sys
import xml.etree.ElementTree as tree


def count_program(path):
    """Of one program: how many cases passed, the names of those that did not."""
    passed = 0
    failed = []
    for case in tree.parse(path).getroot().iter("testcase"):
        name = f"{case.get('classname')}.{case.get('name')}"
        if case.find("failure") is not None or case.find("error") is not None:
            failed.append(name)
        elif case.get("status") == "run" and case.find("skipped") is None:
            passed += 1
    return passed, failed


def count(folder):
    passed = 0
    failed = []
    for program in tree.parse(folder / "ctest.junit").getroot().iter("testcase"):
        name = program.get("name")
        broken = program.get("status") != "run"
        written = folder / f"{name}_test.xml"
        if not written.exists():
            passed += 0 if broken else 1
            failed += [f"{name} (the program ended without its results)"] if broken else []
            continue
        good, bad = count_program(written)
        passed += good
        failed += [f"{name}: {case}" for case in bad]
        if broken and not bad:
            failed.append(f"{name} (the program crashed)")
    return passed, failed


total, names = count(pathlib.Path(sys.argv[1]))
print(f"passed {total}")
for each in names:
    print(f"not ok {each}")
