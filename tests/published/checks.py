"""What the check scripts share. A check script prints a line for each check, "ok NAME" or
"not ok NAME: why", which tests/run.sh counts, and ends with a status that is not 0 if one failed.

Folders come from the environment, as tests/run.sh sets them: FETTLE (the program), FETTLE_SAMPLES
(what the test programs wrote for other readers), FETTLE_FETCHED (files of packages)."""

import json
import os
import pathlib
import sys

import jsonschema

ROOT = pathlib.Path(__file__).resolve().parents[2]
PROGRAM = pathlib.Path(os.environ.get("FETTLE", ROOT / "build/release/fettle"))
SAMPLES = pathlib.Path(os.environ.get("FETTLE_SAMPLES", ROOT / "build/samples"))
FETCHED = pathlib.Path(os.environ.get("FETTLE_FETCHED", ROOT / "build/fetched"))

_failed = 0


def check(name, problems):
    """One check; `problems` is a list of what is wrong, or whether it holds."""
    global _failed
    if problems is True:
        problems = []
    if problems is False:
        problems = ["does not hold"]
    if problems:
        _failed += 1
        shown = "; ".join(str(problem) for problem in problems[:5])
        print(f"not ok {name}: {shown}".replace("\n", " "), flush=True)
    else:
        print(f"ok {name}", flush=True)


def finish():
    sys.exit(1 if _failed else 0)


def read_json(path):
    """Strict: no NaN, no repeated keys, UTF-8."""

    def refuse(word):
        raise ValueError(f"{word} is not JSON")

    def pairs(items):
        keys = [key for key, _ in items]
        if len(keys) != len(set(keys)):
            raise ValueError(f"a key is repeated among {keys}")
        return dict(items)

    text = pathlib.Path(path).read_bytes().decode("utf-8")
    return json.loads(text, parse_constant=refuse, object_pairs_hook=pairs)


def schema_problems(document, schema):
    """What the validator of the package python3-jsonschema says, by the draft that the schema names."""
    validator = jsonschema.validators.validator_for(schema)
    validator.check_schema(schema)
    errors = validator(schema, format_checker=jsonschema.FormatChecker()).iter_errors(document)
    return [f"{error.json_path}: {error.message[:200]}" for error in errors]


def fettle_schema(name):
    return read_json(ROOT / "docs" / f"{name}.schema.json")
