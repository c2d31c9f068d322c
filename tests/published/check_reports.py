#!/usr/bin/python3
"""Reports of `fettle check` as readers that are not ours see them: the JSON report against
docs/report.schema.json; SARIF against the schema of the standard, which the npm package
@microsoft/jest-sarif carries (`npm pack @microsoft/jest-sarif@1.0.0-beta.0`, see
fetch_schemas.sh), and against sarif_required.schema.json, which was written from the standard and
is all there is where npm is missing; and the mends of both, carried out here, against our own."""

import subprocess
import tempfile
import urllib.parse

from checks import FETCHED, PROGRAM, ROOT, SAMPLES, check, fettle_schema, finish, read_json
from checks import schema_problems

REPORT = fettle_schema("report")
REQUIRED = read_json(ROOT / "tests/published/sarif_required.schema.json")
OFFICIAL_PATH = FETCHED / "sarif-2.1.0.schema.json"
OFFICIAL = read_json(OFFICIAL_PATH) if OFFICIAL_PATH.exists() else None


def offset_of(text, line, column):
    """The place in `text` (UTF-16 units, as bytes) of a line and column of SARIF."""
    lines = text.decode("utf-16-le").split("\n")
    before = "".join(each + "\n" for each in lines[: line - 1])
    mark = 1 if line == 1 and lines[0].startswith("\ufeff") else 0
    return len(before.encode("utf-16-le")) + 2 * (column - 1 + mark)


def replaced(data, edits):
    """`edits` are (begin, end, replacement) of `data`, not overlapping."""
    for begin, end, replacement in sorted(edits, key=lambda edit: edit[:2], reverse=True):
        data = data[:begin] + replacement + data[end:]
    return data


def mended_by_report(report, folder):
    """The first mend with edits of each diagnostic, from byte offsets."""
    edits = {}
    for diagnostic in report["diagnostics"]:
        mend = next((mend for mend in diagnostic["mends"] if mend["edits"]), {"edits": []})
        for edit in mend["edits"]:
            end = edit["offset"] + edit["length"]
            edits.setdefault(edit["file"], []).append(
                (edit["offset"], end, edit["replacement"].encode()))
    return {path: replaced((folder / path).read_bytes(), own) for path, own in edits.items()}


def mended_by_sarif(log, folder):
    """The first fix of each result, from lines and columns."""
    edits = {}
    for result in log["runs"][0]["results"]:
        for change in (result["fixes"][:1] or [{"artifactChanges": []}])[0]["artifactChanges"]:
            path = urllib.parse.unquote(change["artifactLocation"]["uri"])
            text = (folder / path).read_bytes().decode().encode("utf-16-le")
            for replacement in change["replacements"]:
                region = replacement["deletedRegion"]
                edits.setdefault(path, []).append(
                    (offset_of(text, region["startLine"], region["startColumn"]),
                     offset_of(text, region["endLine"], region["endColumn"]),
                     replacement["insertedContent"]["text"].encode("utf-16-le")))
    texts = {path: (folder / path).read_bytes().decode().encode("utf-16-le") for path in edits}
    return {path: replaced(texts[path], own).decode("utf-16-le").encode()
            for path, own in edits.items()}


def check_report(name, path):
    check(f"{name} fits docs/report.schema.json", schema_problems(read_json(path), REPORT))


def check_sarif(name, path):
    log = read_json(path)
    check(f"{name} has what the SARIF standard requires", schema_problems(log, REQUIRED))
    if OFFICIAL is not None:
        check(f"{name} fits the published SARIF schema", schema_problems(log, OFFICIAL))
    rules = [rule["id"] for rule in log["runs"][0]["tool"]["driver"]["rules"]]
    strays = [result["ruleId"] for result in log["runs"][0]["results"]
              if rules[result["ruleIndex"]] != result["ruleId"]]
    check(f"{name} points at its rules", strays)


def check_samples(folder):
    check_report("full report", folder / "report.json")
    check_report("empty report", folder / "empty.json")
    check_sarif("full SARIF log", folder / "report.sarif")
    check_sarif("empty SARIF log", folder / "empty.sarif")
    ours = {path.relative_to(folder / "mended").as_posix(): path.read_bytes()
            for path in (folder / "mended").rglob("*.fettle")}
    by_report = mended_by_report(read_json(folder / "report.json"), folder)
    by_sarif = mended_by_sarif(read_json(folder / "report.sarif"), folder)
    for path in by_report:
        check(f"mends of the JSON report give our text of {path}", by_report[path] == ours[path])
        check(f"fixes of the SARIF log give our text of {path}", by_sarif[path] == ours[path])
    check("mends were compared", len(by_report) > 0 and by_report.keys() == by_sarif.keys())


def check_refused():
    """The schemas must refuse something, or they check nothing."""
    report = read_json(SAMPLES / "reports/report.json")
    report["diagnostics"][1]["line"] = None
    check("a report with half a place is refused", schema_problems(report, REPORT) != [])
    log = read_json(SAMPLES / "reports/report.sarif")
    log["runs"][0]["results"][0]["message"] = "text"
    for name, schema in (("required properties", REQUIRED), ("published schema", OFFICIAL)):
        if schema is not None:
            check(f"a wrong SARIF log is refused by the {name}", schema_problems(log, schema) != [])


def check_program():
    """The same of the program itself, for a file with mistakes."""
    with tempfile.TemporaryDirectory() as folder:
        source = f"{folder}/broken.fettle"
        with open(source, "w", encoding="utf-8") as file:
            file.write("firing mugs {\n    phase a {\n        ramp to 600C + 20C at 100C/h\n"
                       "        soek 20m\n    }\n}\n")
        for kind, checker in (("json", check_report), ("sarif", check_sarif)):
            run = subprocess.run([PROGRAM, "check", "--report", kind, "broken.fettle"], cwd=folder,
                                 stdout=subprocess.PIPE, timeout=60, check=False)
            check(f"check --report {kind} of a wrong file exits with 1", run.returncode == 1)
            with open(f"{folder}/report", "wb") as file:
                file.write(run.stdout)
            checker(f"check --report {kind}", f"{folder}/report")


if OFFICIAL is None:
    print("note: npm is not here, so the published SARIF schema was not used")
check_samples(SAMPLES / "reports")
check_refused()
if PROGRAM.exists():
    check_program()
finish()
