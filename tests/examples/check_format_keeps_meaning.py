#!/usr/bin/env python3
"""Formatting never changes what a file means.

The layout of every example and of the standard library's own programs is disturbed (indentation,
blanks between words, blank lines, line ends inside brackets), and `fettle format` puts it right
again. What is built from it must be the same JSON to the last character, but for the numbers of
lines and the hashes of files; so must what is built from the disturbed text itself, and every test
in the language must end as before.

Prints "ok NAME" or "not ok NAME: why" for each.
"""

import json
import os
import pathlib
import random
import re
import shutil
import subprocess
import tempfile

ROOT = pathlib.Path(__file__).resolve().parents[2]
FETTLE = os.environ.get("FETTLE", str(ROOT / "build/release/fettle"))
FOLDERS = [ROOT / "examples/harbour_row", ROOT / "examples/teaching", ROOT / "tests/stdlib/proofs"]
DISTURBANCES = 4  # of each folder

# A text, a comment, a cone (which is one literal), brackets, blanks, a line end, or anything else up
# to one of them.
TOKEN = re.compile(
    r'"""(?s:.*?)"""|"(?:\\.|[^"\\\n])*"|#[^\n]*|cone[ \t]+[\d½]+|[()\[\]]|[ \t]+|\n|[^\s"#()\[\]]+'
)


def disturbed(text, chance):
    """The same words with other blanks between them."""
    out = []
    depth = 0
    line_starts = True
    for token in TOKEN.findall(text):
        if token == "\n":
            out.append(" " * chance.choice([0, 0, 3]) + "\n" * (1 if depth else chance.choice([1, 1, 1, 2])))
            line_starts = True
            continue
        if token.isspace():
            if depth and not line_starts and chance.random() < 0.1:
                out.append("\n" + " " * chance.randrange(9))
            elif not line_starts:
                out.append(" " * chance.choice([1, 1, 2, 5]))
            continue
        if line_starts:
            out.append(" " * chance.randrange(9))
        line_starts = False
        depth += (token in "([") - (token in ")]")
        out.append(token)
    return "".join(out)


def fettle(folder, *words):
    """What the program prints in that folder, and how it ended."""
    result = subprocess.run(
        [FETTLE, *words], cwd=folder, capture_output=True, timeout=120, check=False
    )
    return result.stdout.decode("utf-8"), result.stderr.decode("utf-8"), result.returncode


def meaning(folder):
    """Of all firings of a folder, without what layout may change; and how its tests ended."""
    lines, said, code = fettle(folder, "build", ".", "--as", "json", "--into", "-", "--quiet")
    assert code == 0, f"it does not build: {said}"
    firings = {}
    for line in lines.splitlines():
        document = json.loads(line)
        for file in document["source"]["files"]:
            del file["sha256"]
        for segment in document["segments"]:
            for origin in segment["from"]:
                del origin["line"]
        firings[document["firing"]["name"]] = document
    tests, _, code = fettle(folder, "test", ".")
    tests = re.sub(r"\.fettle:\d+(:\d+)?", ".fettle", tests)
    return firings, tests, code


def firing_that_differs(before, after):
    for name in sorted(before.keys() | after.keys()):
        if before.get(name) != after.get(name):
            return name
    return None


def check_same(before, after, when):
    differs = firing_that_differs(before[0], after[0])
    assert differs is None, f"{when}, the firing {differs} is another"
    assert before[1:] == after[1:], f"{when}, the tests end otherwise"


def check_folder(folder, seed):
    chance = random.Random(seed)
    before = meaning(folder)
    assert before[0] or "passed" in before[1], "there is nothing to compare in it"
    with tempfile.TemporaryDirectory() as top:
        copy = pathlib.Path(top) / folder.name
        shutil.copytree(folder, copy)
        changed = 0
        for path in sorted(copy.rglob("*.fettle")):
            text = path.read_text(encoding="utf-8")
            other = disturbed(text, chance)
            assert re.sub(r"\s", "", other) == re.sub(r"\s", "", text), f"{path.name} lost words"
            changed += other != text
            path.write_text(other, encoding="utf-8")
        assert changed, "nothing was disturbed"
        check_same(before, meaning(copy), "disturbed")
        _, said, code = fettle(copy, "format", ".")
        assert code == 0, f"it can't be formatted: {said}"
        check_same(before, meaning(copy), "formatted")


def main():
    for folder in FOLDERS:
        for seed in range(DISTURBANCES):
            name = f"{folder.name}, disturbance {seed}: formatting keeps the meaning"
            try:
                check_folder(folder, seed)
                print(f"ok {name}", flush=True)
            except (AssertionError, KeyError, OSError, ValueError, subprocess.SubprocessError) as why:
                print(f"not ok {name}: {why}", flush=True)


if __name__ == "__main__":
    main()
