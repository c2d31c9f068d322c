"""Validates every .json file of a folder against a schema, with python3-jsonschema.

Then tries the schema itself: each document is spoilt in every place, by a field too many and by each
field left out, and every such document must be refused.

    validate_json.py SCHEMA FOLDER
"""

import copy
import json
import pathlib
import sys

from jsonschema import Draft202012Validator

# The one field that may be absent; of objects whose names are free, none is required.
OPTIONAL = {"steps"}
FREE_NAMES = {"arguments", "settings"}
# Spoiling each of a thousand segments tells no more than spoiling the first few.
MOST_ITEMS = 6


def objects(value, path=()):
    """Paths of all objects in a document, but for those with free names."""
    if isinstance(value, dict):
        if not (path and path[-1] in FREE_NAMES):
            yield path
        for key, inner in value.items():
            yield from objects(inner, path + (key,))
    elif isinstance(value, list):
        for index, inner in enumerate(value[:MOST_ITEMS]):
            yield from objects(inner, path + (index,))


def at(document, path):
    for key in path:
        document = document[key]
    return document


def shrunk(value):
    """The document with short lists, so that spoiling it is quick."""
    if isinstance(value, dict):
        return {key: shrunk(inner) for key, inner in value.items()}
    if isinstance(value, list):
        return [shrunk(inner) for inner in value[:MOST_ITEMS]]
    return value


def spoilt(document):
    for path in objects(document):
        more = copy.deepcopy(document)
        at(more, path)["unheard_of"] = 1
        yield f"{path} with a field too many", more
        for key in at(document, path):
            if key in OPTIONAL:
                continue
            less = copy.deepcopy(document)
            del at(less, path)[key]
            yield f"{path} without {key}", less


def main(schema_path, folder):
    schema = json.loads(pathlib.Path(schema_path).read_text(encoding="utf-8"))
    Draft202012Validator.check_schema(schema)
    validator = Draft202012Validator(schema)
    problems = []
    documents = sorted(pathlib.Path(folder).glob("*.json"))
    if not documents:
        problems.append("there is no document to validate")
    tried = 0
    for path in documents:
        document = json.loads(path.read_text(encoding="utf-8"))
        for error in validator.iter_errors(document):
            problems.append(f"{path.name}: {list(error.absolute_path)}: {error.message[:300]}")
        for what, wrong in spoilt(shrunk(document)):
            tried += 1
            if validator.is_valid(wrong):
                problems.append(f"{path.name}: the schema lets pass {what}")
    for problem in problems:
        print(problem)
    print(f"{len(documents)} documents, {tried} spoilt ones, {len(problems)} problems")
    return 1 if problems else 0


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
