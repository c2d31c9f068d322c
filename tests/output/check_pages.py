#!/usr/bin/env python3
"""The cards and sheets of the examples and of the samples, as HTML and as seen in a browser.

Always: each page is one file without scripts whose tags close (HTML Tidy). Where npm reaches a
registry: the rules of the HTML standard (html-validate), and in Chromium at the widths of a phone,
a desk, A4 and Letter: nothing cut off or outside the page, no hindrance that axe-core finds, and
on paper one page for each card of the examples.

Prints "ok NAME" or "not ok NAME: why" for each.
"""

import json
import os
import pathlib
import shutil
import subprocess
import sys
import tempfile

ROOT = pathlib.Path(__file__).resolve().parents[2]
FETTLE = os.environ.get("FETTLE", str(ROOT / "build/release/fettle"))
SAMPLES = pathlib.Path(os.environ.get("FETTLE_SAMPLES", ROOT / "build/samples"))
FETCHED = pathlib.Path(os.environ.get("FETTLE_FETCHED", ROOT / "build/fetched"))
HERE = pathlib.Path(__file__).resolve().parent
KINDS = ["card", "class-card", "keying", "writing"]
ONE_PAGE = (".card.html", ".class-card.html")  # of the examples, on A4 and on Letter
failed = False


def say(name, why=""):
    global failed
    failed = failed or bool(why)
    print(f"not ok {name}: {why}" if why else f"ok {name}", flush=True)


def build(folder):
    for scale, starts in (("C", "22:30"), ("F", None)):
        words = [FETTLE, "build", "examples/harbour_row", "--as", ",".join(KINDS), "--quiet",
                 "--scale", scale, "--into", str(folder / scale)]
        subprocess.run(words + (["--starts", starts] if starts else []), cwd=ROOT, check=True,
                       timeout=120)
    return sorted(folder.rglob("*.html"))


def tidy(pages):
    """Tags that do not close, or that are unknown, are errors or warnings of Tidy.

    It is older than groups in lists (`div` in `dl`), which are taken out for it.
    """
    if shutil.which("tidy") is None:
        return say("tags close", "tidy is not installed: bash tests/run.sh installs it")
    wrong = []
    for page in pages:
        text = page.read_text(encoding="utf-8")
        text = text.replace("<div><dt>", "<dt>").replace("</dd></div>", "</dd>")
        made = subprocess.run(["tidy", "-quiet", "-errors", "--mute",
                               "PROPRIETARY_ATTRIBUTE,TRIM_EMPTY_ELEMENT"],
                              input=text.encode("utf-8"), capture_output=True, timeout=60, check=False)
        said = made.stderr.decode("utf-8", "replace").strip()
        if said:
            wrong.append(f"{page.name}: {said.splitlines()[0]}")
    say(f"tags close on {len(pages)} pages", "; ".join(wrong[:3]))


def run_node(script, pages):
    made = subprocess.run(["node", str(HERE / script), str(FETCHED), *map(str, pages)],
                          capture_output=True, timeout=900, check=False)
    if made.returncode != 0:
        raise RuntimeError(made.stderr.decode("utf-8", "replace").strip()[-300:])
    return [json.loads(line) for line in made.stdout.decode("utf-8").splitlines()]


def validate(pages):
    wrong = [f"{pathlib.Path(each['file']).name} {each['messages'][0]}"
             for each in run_node("validate_html.mjs", pages) if each["messages"]]
    say(f"the HTML standard on {len(pages)} pages", "; ".join(wrong[:3]))


def look(pages, examples):
    results = run_node("pages.mjs", pages)
    for width in ("phone", "desk", "A4", "Letter"):
        wrong = [f"{pathlib.Path(each['file']).name} {each['troubles'][width][0]}"
                 for each in results if each["troubles"][width]]
        say(f"nothing is cut off: {width}", "; ".join(wrong[:3]))
    wrong = [f"{pathlib.Path(each['file']).name} {each['axe'][0]}"
             for each in results if each["axe"]]
    say(f"axe-core finds no hindrance on {len(pages)} pages", "; ".join(wrong[:3]))
    for paper in ("A4", "Letter"):
        wrong = [f"{pathlib.Path(each['file']).name} takes {each['pages'][paper]}"
                 for each in results
                 if pathlib.Path(each["file"]) in examples
                 and each["file"].endswith(ONE_PAGE) and each["pages"][paper] != 1]
        say(f"a card of the examples is one page of {paper}", "; ".join(wrong[:3]))


def main():
    with tempfile.TemporaryDirectory() as folder:
        examples = build(pathlib.Path(folder))
        samples = sorted(SAMPLES.glob("page_*.html"))
        if not samples:
            say("the pages of the samples", "none are there: run output_test with FETTLE_SAMPLES")
        pages = examples + samples
        tidy(pages)
        # The few that are different enough: a browser takes a second a page.
        wanted = ("grey_mugs", "celadon", "raku_evening", "saturday_load", "planters")
        seen = [p for p in examples if p.parent.name == "C"
                and (p.name.split(".")[0] in wanted or p.name.endswith(ONE_PAGE))]
        seen += [p for p in examples if p.parent.name == "F" and p.name.startswith("celadon")]
        seen += samples
        if not (FETCHED / "node_modules/playwright-core").is_dir():
            print("Without npm and a registry, no browser looks at the pages.")
            return
        validate(pages)
        if shutil.which(os.environ.get("CHROMIUM", "chromium")) is None:
            return say("seen in a browser", "chromium is not installed")
        look(seen, set(examples))


try:
    main()
except (OSError, RuntimeError, ValueError, subprocess.SubprocessError) as problem:
    say("the pages", str(problem))
sys.exit(1 if failed else 0)
