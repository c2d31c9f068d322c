#!/usr/bin/env python3
"""Every example of the documentation does what the documentation says.

```fettle                 compiles without an error
```fettle wrong=NAME      has exactly the error NAME (several: NAME,NAME)
```fettle part=steps      is a part, set into the frame of that name below
```fettle file=a/b.fettle is also kept, so that later blocks of the document can use it
```fettle from=PATH       is the file PATH of the project. FETTLE_ACCEPT=1 rewrites it.
```text from="COMMAND"    is what the command prints; with lines=A-B only those of its lines, with
                          cut=a.0.b only that part of its JSON, with status=N where it does not end
                          with 0. FETTLE_ACCEPT=1 rewrites it.

Prints "ok NAME" or "not ok NAME: why" for each.
"""

import json
import os
import pathlib
import re
import shlex
import subprocess
import sys

from blocks import ROOT, blocks, documents, working_folder

FETTLE = os.environ.get("FETTLE", str(ROOT / "build/release/fettle"))
ACCEPT = os.environ.get("FETTLE_ACCEPT") == "1"

FRAMES = {
    "steps": "firing example {{ phase example {{\n{}\n}} }}\n",
    "settings": "firing example {{\n{}\nphase example {{ ramp to 600C at 60C/h }} }}\n",
    "body": "body example {{\n{}\n}}\n",
    "kiln": "kiln example {{\n{}\n}}\n",
    "rule": "rule example {{\n{}\nlevel advice; because \"-\"; source \"-\" }}\n",
    "test": "test \"example\" {{\n{}\n}}\n",
    "value": "let example =\n{}\n",
}


def run(arguments, folder):
    environment = dict(os.environ, FETTLE_CACHE=f"{folder}/.cache") # not that of the user
    return subprocess.run(arguments, cwd=folder, capture_output=True, timeout=60, check=False,
                          env=environment)


def diagnostics(path, folder):
    result = run([FETTLE, "check", "--report", "json", path], folder)
    try:
        return json.loads(result.stdout)["diagnostics"]
    except (ValueError, KeyError):
        raise RuntimeError((result.stdout + result.stderr).decode("utf-8", "replace")) from None


def check_copy(block, rewrites):
    """Is it the file that it is a copy of?"""
    made = (ROOT / block.options["from"]).read_text(encoding="utf-8").rstrip("\n").split("\n")
    if made == block.lines:
        return None
    if not ACCEPT:
        return f"is not what {block.options['from']} says"
    rewrites.append((block.begin, len(block.lines), made))
    block.lines = made
    return None


def check_snippet(block, folder, number):
    """What is wrong with it, or nothing."""
    text = block.text
    if "from" in block.options:
        # The modules of an example stand beside one another here.
        text = re.sub(r"use \w+\.\w+\.(?=\w+ )", "use ", text)
    if "part" in block.options:
        text = FRAMES[block.options["part"]].format(text)
    path = pathlib.Path(folder) / block.options.get("file", f"example_{number}.fettle")
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8")
    wanted = {name for name in block.options.get("wrong", "").split(",") if name}
    said = [d for d in diagnostics(str(path.relative_to(folder)), folder) if d["level"] == "error"]
    if {d["name"] for d in said} == wanted:
        return None
    if not said:
        return f"should be wrong ({', '.join(sorted(wanted))}), but compiles"
    return "; ".join(f"{d['name']} in {d['file']}, line {d['line']}: {d['message']}" for d in said[:3])


def output_of(block, folder):
    words = shlex.split(block.options["from"])
    if words[0] == "fettle":
        words[0] = FETTLE
    result = run(words, folder)
    status = int(block.options.get("status", "0"))
    text = (result.stdout + result.stderr).decode("utf-8")
    if result.returncode != status:
        raise RuntimeError(f"ended with {result.returncode}, not {status}: {text}")
    if "cut" in block.options:
        part = json.loads(text)
        for key in block.options["cut"].split("."):
            part = part[int(key) if key.isdigit() else key]
        text = json.dumps(part, indent=2, ensure_ascii=False)
    lines = [line.rstrip() for line in text.rstrip("\n").split("\n")]
    if "lines" in block.options:
        first, last = (int(n) for n in block.options["lines"].split("-"))
        lines = lines[first - 1 : last]
    return lines


def check_output(block, folder, rewrites):
    made = output_of(block, folder)
    if made == [line.rstrip() for line in block.lines]:
        return None
    if ACCEPT:
        rewrites.append((block.begin, len(block.lines), made))
        return None
    for number, (written, line) in enumerate(zip(block.lines, made), 1):
        if written.rstrip() != line:
            return f"line {number} is written `{written}`, but is `{line}`"
    return f"has {len(block.lines)} lines, but the command prints {len(made)}"


def rewrite(document, rewrites):
    lines = document.read_text(encoding="utf-8").split("\n")
    for begin, count, made in reversed(rewrites):
        lines[begin : begin + count] = made
    document.write_text("\n".join(lines), encoding="utf-8")


def anchors(document):
    """The names by which a heading can be linked to."""
    found = set()
    for line in document.read_text(encoding="utf-8").split("\n"):
        if re.match(r"#+ ", line):
            words = re.sub(r"[^\w\- ]", "", line.lstrip("#").strip().lower())
            found.add(words.replace(" ", "-"))
    return found


def broken_links(document):
    text = re.sub(r"```.*?```", "", document.read_text(encoding="utf-8"), flags=re.S)
    for target in re.findall(r"\]\(([^)\s]+)\)", text):
        if re.match(r"[a-z]+:", target):
            continue
        path, _, anchor = target.partition("#")
        other = (document.parent / path).resolve() if path else document
        if not other.exists():
            yield target
        elif anchor and anchor not in anchors(other):
            yield target


def main():
    failures = 0

    def report(name, problem):
        nonlocal failures
        failures += problem is not None
        print(f"not ok {name}: {problem}" if problem else f"ok {name}", flush=True)

    for document in documents():
        rewrites = []
        with working_folder() as folder:
            for number, block in enumerate(blocks(document)):
                try:
                    if block.language == "fettle":
                        problem = "from" in block.options and check_copy(block, rewrites)
                        report(block.place, problem or check_snippet(block, folder, number))
                    elif "from" in block.options:
                        report(block.place, check_output(block, folder, rewrites))
                except (RuntimeError, ValueError, OSError, LookupError,
                        subprocess.SubprocessError) as problem:
                    report(block.place, str(problem).strip().replace("\n", " / ")[:400])
        if rewrites:
            rewrite(document, rewrites)
        dead = sorted(set(broken_links(document)))
        report(f"links of {document.relative_to(ROOT)}", ", ".join(dead) if dead else None)
    return failures != 0


if __name__ == "__main__":
    sys.exit(main())
