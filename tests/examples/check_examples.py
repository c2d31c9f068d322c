#!/usr/bin/env python3
"""Everything in examples/ does what it is there to show.

Each file is checked (nothing at all may be said about it), is in the one layout, passes its own
tests, and its firings are built. What `show` prints for its firings is compared with
tests/examples/golden/, as is the CSV of the first firing; FETTLE_ACCEPT=1 rewrites those.

Prints "ok NAME" or "not ok NAME: why" for each.
"""

import csv
import difflib
import json
import os
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile

from jsonschema import Draft202012Validator, ValidationError

ROOT = pathlib.Path(__file__).resolve().parents[2]
FETTLE = os.environ.get("FETTLE", str(ROOT / "build/release/fettle"))
ACCEPT = os.environ.get("FETTLE_ACCEPT") == "1"
GOLDEN = pathlib.Path(__file__).resolve().parent / "golden"
EXAMPLES = pathlib.Path("examples")
WIDTH = 80
# What a check that fails, or a program that misbehaves, can raise.
EXPECTED = (
    AssertionError,
    KeyError,
    OSError,
    ValidationError,
    ValueError,
    subprocess.SubprocessError,
)

# What a studio really fires: the firings of each file.
NEEDED = {
    "harbour_row/first_firing": {"mugs"},
    "harbour_row/bisque": {"grey_mugs", "slab_dishes", "red_jugs"},
    "harbour_row/glaze": {"blue_mugs", "matt_bowls", "honey_jugs"},
    "harbour_row/market": {"market_mugs"},
    "harbour_row/crystalline": {"bottles"},
    "harbour_row/reduction": {"celadon"},
    "harbour_row/raku": {"raku_evening"},
    "harbour_row/mixed_load": {"saturday_load"},
    "harbour_row/planters": {"planters"},
    "saltmarsh/specification": {"bisque_for_tide", "tide_mugs", "mudflat_bowls"},
    "saltmarsh/family": {"line_tiles"},
    "teaching/tuesday": {"mugs", "first_pots"},
    "harbour_row_common/members": {"white_mugs", "dark_bowls"},
}
WAIVED = {"planters": ["underfired"]}  # what that example is about


def all_files():
    return sorted((ROOT / EXAMPLES).rglob("*.fettle"))


def fettle(*words, status=0):
    """What the program prints; `status` is how it must end."""
    result = subprocess.run(
        [FETTLE, *map(str, words)], cwd=ROOT, capture_output=True, timeout=60, check=False
    )
    text = result.stdout.decode("utf-8")
    if result.returncode != status:
        said = (text + result.stderr.decode("utf-8", "replace")).strip()
        raise AssertionError(f"ended with {result.returncode}, not {status}: {said}")
    return text


def differences(golden, text):
    """Compares with a golden file, or rewrites it."""
    if ACCEPT:
        golden.parent.mkdir(exist_ok=True)
        golden.write_text(text, encoding="utf-8")
        return
    expected = golden.read_text(encoding="utf-8") if golden.exists() else ""
    if expected != text:
        changed = difflib.unified_diff(
            expected.splitlines(), text.splitlines(), golden.name, "now", n=0, lineterm=""
        )
        raise AssertionError(" / ".join(list(changed)[:8]) + " (FETTLE_ACCEPT=1 rewrites it)")


def says_nothing(file):
    report = json.loads(fettle("check", "--report", "json", file))
    said = [f"{d['name']}, line {d['line']}: {d['message']}" for d in report["diagnostics"]]
    assert not said, "; ".join(said)


def is_laid_out(file):
    fettle("format", "--check", file)


def passes_its_tests(file):
    written = len(re.findall(r'^test "', (ROOT / file).read_text(encoding="utf-8"), re.M))
    text = fettle("test", file)
    assert written == 0 or str(written) in text, f"has {written} tests, but the report is: {text}"


def is_built(file, firings):
    with tempfile.TemporaryDirectory() as folder:
        fettle("build", file, "--as", "csv,json", "--into", folder)
        made = {path.name for path in pathlib.Path(folder).iterdir()}
        names = {pathlib.Path(name).stem for name in made}
        assert names == firings, f"makes {sorted(names)}"
        assert made == {f"{n}.{kind}" for n in names for kind in ("csv", "json")}, f"{sorted(made)}"
        for name in sorted(names):
            compare_formats(pathlib.Path(folder) / name)


def compare_formats(path):
    """The CSV and the JSON of one firing tell the same."""
    document = json.loads(path.with_suffix(".json").read_text(encoding="utf-8"))
    with path.with_suffix(".csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    schema = json.loads((ROOT / "docs/schedule.schema.json").read_text(encoding="utf-8"))
    Draft202012Validator(schema).validate(document)
    segments = document["segments"]
    assert len(rows) == len(segments), f"{len(rows)} rows, {len(segments)} segments"
    for row, segment in zip(rows, segments):
        assert float(row["target_c"]) == segment["to_c"], f"{row}"
        known = segment["duration_s"]
        told = float(row["duration_min"]) if row["duration_min"] else None
        if known is None:
            assert told is None, f"{row}"
        else:
            assert abs(told - known / 60) < 0.001, f"{row}"
    broken = [c["rule"] for c in document["checks"] if c["result"] in ("broken", "unknown")]
    assert not broken, f"{path.name}: {broken}"
    waived = [c["rule"] for c in document["checks"] if c["result"] == "waived"]
    assert waived == WAIVED.get(path.name, []), f"{path.name}: {waived}"
    assert all(segment["from"] for segment in segments), f"{path.name}: a step without its lines"


def shows_as_reviewed(file):
    text = fettle("show", file)
    wide = [line for line in text.split("\n") if len(line) > WIDTH]
    assert not wide, f"wider than {WIDTH} columns: {wide[0]}"
    differences(GOLDEN / f"{file.stem}.show.txt", text)


def first_csv():
    with tempfile.TemporaryDirectory() as folder:
        fettle("build", EXAMPLES / "harbour_row/first_firing.fettle", "--as", "csv", "--into", folder)
        made = (pathlib.Path(folder) / "mugs.csv").read_bytes().decode("utf-8")
        differences(GOLDEN / "mugs.csv", made.replace("\r\n", "\n"))


def whole_studio():
    """All files of a folder are one program, with one file for each firing."""
    with tempfile.TemporaryDirectory() as folder:
        fettle("build", EXAMPLES / "harbour_row", "--as", "json", "--into", folder)
        made = {path.stem for path in pathlib.Path(folder).iterdir()}
        all_firings = set().union(*(NEEDED[file] for file in NEEDED if "harbour_row/" in file))
        assert made == all_firings, f"makes {sorted(made)}"


def is_locked():
    """What the library stands on is what its lock says, and resolving again changes nothing."""
    lock = ROOT / EXAMPLES / "harbour_row_common/library.lock"
    before = lock.read_bytes()
    fettle("library", "resolve", EXAMPLES / "harbour_row_common")
    assert lock.read_bytes() == before
    fettle("library", "verify", "--sources", EXAMPLES / "harbour_row_common")


def is_a_workspace():
    """All examples as one program: a library that needs another version takes the one it locked."""
    text = fettle("test", EXAMPLES)
    assert "FAILED" not in text and "passed" in text, text


def is_published_as_kept():
    """The archive on the shelf is what publishing the library makes, byte for byte."""
    name = "tidewater.glazes-0.4.0.tar"
    with tempfile.TemporaryDirectory() as folder:
        fettle("library", "publish", EXAMPLES / "tidewater_glazes", "--into", folder)
        made = (pathlib.Path(folder) / name).read_bytes()
    assert made == (ROOT / EXAMPLES / "shelf" / name).read_bytes()


def update_tells_what_it_does():
    shelf = EXAMPLES / "shelf"
    text = fettle("library", "difference", shelf / "tidewater.glazes-0.3.0.tar",
                  shelf / "tidewater.glazes-0.4.0.tar", "--for", EXAMPLES / "harbour_row_common")
    assert "changed  firing members.dark_bowls" in text, text
    assert "white_mugs" not in text, text


def script_says_yes_and_no():
    """examples/check_library.sh lets a good change through, and no other."""
    last = ROOT / EXAMPLES / "shelf/tidewater.glazes-0.3.0.tar"
    for version, code in (("0.4.0", 0), ("0.3.1", 1)):
        with tempfile.TemporaryDirectory() as folder:
            library = pathlib.Path(folder) / "glazes"
            shutil.copytree(ROOT / EXAMPLES / "tidewater_glazes", library)
            manifest = library / "library.fettle"
            manifest.write_text(manifest.read_text().replace("0.4.0", version))
            ran = subprocess.run(
                ["bash", ROOT / EXAMPLES / "check_library.sh", library, last], cwd=folder,
                env=dict(os.environ, FETTLE=FETTLE), capture_output=True, timeout=60, check=False)
            assert ran.returncode == code, (ran.stdout + ran.stderr).decode()
            sarif = json.loads((pathlib.Path(folder) / "checked/messages.sarif").read_text())
            assert sarif["version"] == "2.1.0"
            assert (pathlib.Path(folder) / "checked/difference.html").exists()


def is_in_the_read_me():
    text = (ROOT / EXAMPLES / "README.md").read_text(encoding="utf-8")
    files = {str(path.relative_to(ROOT / EXAMPLES)) for path in all_files()}
    linked = set(re.findall(r"\]\(([^)]+\.fettle)\)", text))
    assert files == linked, f"differ: {sorted(files ^ linked)}"
    assert "invented" in text


def main():
    if not pathlib.Path(FETTLE).exists():
        print(f"not ok the examples: there is no program {FETTLE}")
        return 1
    failures = 0

    def attempt(name, work, *arguments):
        nonlocal failures
        try:
            work(*arguments)
            print(f"ok {name}", flush=True)
        except EXPECTED as problem:
            failures += 1
            print(f"not ok {name}: {str(problem).replace(chr(10), ' / ')[:600]}", flush=True)

    cache = tempfile.TemporaryDirectory()
    os.environ["FETTLE_CACHE"] = cache.name
    attempt("harbour_row_common: is locked", is_locked)
    attempt("all libraries as one program", is_a_workspace)
    attempt("check_library.sh: says yes and no", script_says_yes_and_no)
    attempt("tidewater_glazes: is published as kept", is_published_as_kept)
    attempt("harbour_row_common: an update tells what it does", update_tells_what_it_does)
    for file in (path.relative_to(ROOT) for path in all_files()):
        attempt(f"{file}: nothing is said about it", says_nothing, file)
        attempt(f"{file}: is in the one layout", is_laid_out, file)
        attempt(f"{file}: passes its tests", passes_its_tests, file)
    for name, firings in NEEDED.items():
        file = EXAMPLES / f"{name}.fettle"
        attempt(f"{file}: is built", is_built, file, firings)
        attempt(f"{file}: shows as reviewed", shows_as_reviewed, file)
    attempt("first_firing.fettle: its CSV is as reviewed", first_csv)
    attempt("the studio as one program", whole_studio)
    attempt("README.md names every example", is_in_the_read_me)
    return failures != 0


if __name__ == "__main__":
    sys.exit(main())
