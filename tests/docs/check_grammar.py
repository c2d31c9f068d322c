#!/usr/bin/env python3
"""The grammar in docs/language.md is that of the compiler.

Its words are the words of the compiler's grammar; programs made from it have no mistake of syntax;
and it can read every Fettle file of the project. Prints "ok NAME" or "not ok NAME: why".
"""

import json
import os
import pathlib
import random
import re
import subprocess
import sys
import tempfile

import grammar
from blocks import ROOT

FETTLE = os.environ.get("FETTLE", str(ROOT / "build/release/fettle"))
PROGRAMS = 150
# Words that the compiler's grammar writes out, but the page has under another heading.
ELSEWHERE = {"yes", "no"}


def words_of_compiler():
    """Words in `key<"…">`, `lead<"…">` and the like, and those that have a rule of their own."""
    found = set()
    for path in (ROOT / "compiler/syntax").glob("grammar*.h"):
        text = path.read_text(encoding="utf-8")
        found |= set(re.findall(r'(?:key|key_operand|lead)<"(\w+)"', text))
        found |= set(re.findall(r'profile<ProfileKind::\w+, "(\w+)">', text))
    return found


def syntax_diagnostics():
    text = (ROOT / "compiler/source/diagnostic_kinds.def").read_text(encoding="utf-8")
    section = text.split("// --- syntax ---")[1].split("// ---")[0]
    return {
        name.replace("_", "-") for name in re.findall(r"FETTLE_DIAGNOSTIC\((\w+)", section)
    }


def report(name, problem=None):
    print(f"not ok {name}: {problem}" if problem else f"ok {name}", flush=True)
    return bool(problem)


def check_rules(rules):
    used = {name for side in rules.values() for kind, name in grammar.inside(side) if kind == "rule"}
    unknown, unused = used - rules.keys(), rules.keys() - used - {"file"}
    problem = []
    if unknown:
        problem.append("not in the grammar: " + ", ".join(sorted(unknown)))
    if unused:
        problem.append("not used: " + ", ".join(sorted(unused)))
    return report("the grammar is closed", "; ".join(problem))


def check_words(rules):
    page = {
        name
        for side in rules.values()
        for kind, name in grammar.inside(side)
        if kind == "word" and name.isidentifier()
    }
    compiler = words_of_compiler()
    # Operators and a few others are matched by hand in operators.cpp and lexical.cpp.
    by_hand = set()
    for name in ("operators.cpp", "lexical.cpp"):
        text = (ROOT / "compiler/syntax" / name).read_text(encoding="utf-8")
        by_hand |= set(re.findall(r'"([a-z]+)"', text))
    problem = []
    if page - compiler - by_hand:
        problem.append("not in the compiler: " + ", ".join(sorted(page - compiler - by_hand)))
    if compiler - page - ELSEWHERE:
        problem.append("not in the reference: " + ", ".join(sorted(compiler - page - ELSEWHERE)))
    return report("the words of the grammar", "; ".join(problem))


def check_made_programs(rules, folder):
    syntax = syntax_diagnostics()
    failed = False
    for seed in range(PROGRAMS):
        text = grammar.sentence(rules, "file" if seed % 3 == 0 else "declaration",
                                random.Random(seed))
        path = pathlib.Path(folder) / "library.fettle"
        path.write_text(text + "\n", encoding="utf-8")
        result = subprocess.run([FETTLE, "check", "--report", "json", path.name], cwd=folder,
                                capture_output=True, timeout=60, check=False)
        said = [d for d in json.loads(result.stdout)["diagnostics"]
                if d["name"] in syntax and d["file"] == path.name]
        if said:
            failed = report(f"a program made with the seed {seed}",
                            f"{said[0]['message']} (line {said[0]['line']}): {text!r}"[:600])
    return failed or report(f"{PROGRAMS} programs made from the grammar")


def check_reading(rules):
    failed = False
    for folder in ("examples", "stdlib", "tests/language"):
        for path in sorted((ROOT / folder).rglob("*.fettle")):
            if "wrong" in path.parts or "bad" in path.parts:
                continue
            name = str(path.relative_to(ROOT))
            try:
                problem = grammar.unreadable(rules, path.read_text(encoding="utf-8"))
            except ValueError as reason:
                problem = str(reason)
            failed |= report(f"the grammar reads {name}", problem)
    return failed


def main():
    sys.setrecursionlimit(20000)
    rules = grammar.rules()
    failed = check_rules(rules)
    failed |= check_words(rules)
    with tempfile.TemporaryDirectory(prefix="fettle_grammar_") as folder:
        failed |= check_made_programs(rules, folder)
    failed |= check_reading(rules)
    return failed


if __name__ == "__main__":
    sys.exit(main())
