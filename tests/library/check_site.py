#!/usr/bin/env python3
"""The catalogue of the example studios, and the page of a difference: every link leads somewhere,
the index names every page, the search finds, nothing sticks out on a phone; valid HTML by
html-validate, and accessible by axe-core in Chromium, where these are there.

Prints "ok NAME" or "not ok NAME: why" for each.
"""

import html.parser
import json
import os
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile
import urllib.parse

ROOT = pathlib.Path(__file__).resolve().parents[2]
FETTLE = os.environ.get("FETTLE", str(ROOT / "build/release/fettle"))
FETCHED = pathlib.Path(os.environ.get("FETTLE_FETCHED", str(ROOT / "build/fetched"))) / "pages"
CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
PHONE, DESK = (390, 844), (1280, 900)


class Links(html.parser.HTMLParser):
    def __init__(self):
        super().__init__()
        self.links, self.ids, self.outside = [], [], []

    def handle_starttag(self, tag, attrs):
        for key, value in attrs:
            if key == "id":
                self.ids.append(value)
            if key in ("href", "src"):
                (self.outside if re.match(r"[a-z]+:|//", value) else self.links).append(value)


def fettle(*words):
    ran = subprocess.run([FETTLE, *words], cwd=ROOT, capture_output=True, timeout=120, check=False)
    assert ran.returncode == 0, (ran.stdout + ran.stderr).decode()
    return ran.stdout.decode()


def parsed(path):
    links = Links()
    links.feed(path.read_text(encoding="utf-8"))
    return links


def links_lead_somewhere(site):
    for page in site.glob("*.html"):
        found = parsed(page)
        assert not found.outside, f"{page.name} needs {found.outside}"
        assert len(found.ids) == len(set(found.ids)), f"{page.name}: the same id twice"
        for link in found.links:
            target = urllib.parse.unquote(link.partition("#")[0])
            assert not target or (site / target).exists(), f"{page.name}: {link}"


def index_names_every_page(site):
    index = json.loads((site / "index.json").read_text(encoding="utf-8"))
    pages = {entry["page"] for entry in index["entries"]}
    files = {file for entry in index["entries"] for file in entry["files"]}
    assert pages == {p.name for p in site.glob("*.html")} - {"index.html"} - files
    linked = set(parsed(site / "index.html").links)
    assert pages <= linked
    kinds = {entry["kind"] for entry in index["entries"]}
    assert {"firing", "template", "phase", "body", "kiln", "glaze"} <= kinds, kinds
    firing = next(e for e in index["entries"] if e["name"] == "dark_bowls")
    assert "tidewater.glazes.firings.matt_firing" in firing["uses"], firing
    assert {file.rpartition("dark_bowls")[2] for file in firing["files"]} == {
        ".csv", ".json", ".svg", ".card.html"}, firing
    for file in firing["files"]:
        assert (site / file).stat().st_size > 0
    page = (site / "tidewater.glazes.firings.matt_firing.html").read_text(encoding="utf-8")
    for part in ("Used by", "dark_bowls", "<svg", "slowly_to", "template matt_firing("):
        assert part in page, part
    assert "dry_glaze.html" not in page  # private


def is_the_same_again(site):
    with tempfile.TemporaryDirectory() as again:
        fettle("library", "catalogue", "examples", "--threads", "1", "--into", again)
        files = sorted(p.name for p in site.iterdir())
        assert files == sorted(p.name for p in pathlib.Path(again).iterdir())
        for name in files:
            assert (site / name).read_bytes() == (pathlib.Path(again) / name).read_bytes(), name


def in_browser(page, script, size):
    """What the script, run in the page, puts into the title."""
    text = page.read_text(encoding="utf-8")
    with tempfile.NamedTemporaryFile("w", suffix=".html", dir=page.parent, delete=False,
                                     encoding="utf-8") as copy:
        copy.write(text.replace("</body>", f"<script>{script}</script></body>"))
    try:
        ran = subprocess.run(
            [CHROMIUM, "--headless=new", "--no-sandbox", "--disable-gpu", "--dump-dom",
             f"--window-size={size[0]},{size[1]}", "--virtual-time-budget=8000",
             pathlib.Path(copy.name).as_uri()],
            capture_output=True, timeout=120, check=False)
    finally:
        os.unlink(copy.name)
    found = re.search(r'<pre id="told">(.*?)</pre>', ran.stdout.decode("utf-8", "replace"), re.S)
    assert found, f"{page.name}: the script told nothing: {ran.stderr.decode()[-300:]}"
    return json.loads(html.unescape(found.group(1)))


TELL = ("function tell(x){var p=document.createElement('pre');p.id='told';"
        "p.textContent=JSON.stringify(x);document.body.appendChild(p);}")


def search_finds(site):
    script = TELL + """
        var input = document.getElementById('search');
        function count(words) {
            input.value = words; input.dispatchEvent(new Event('input'));
            return [document.querySelectorAll('li[data-words]:not([hidden])').length,
                    document.getElementById('found').textContent];
        }
        tell([count(''), count('MATT glaze'), count('saturday_load'), count('no such thing')]);"""
    entries = len(json.loads((site / "index.json").read_text())["entries"])
    everything, matt, one, none = in_browser(site / "index.html", script, DESK)
    assert everything == [entries, f"{entries} entries"], everything
    assert 0 < matt[0] < entries and one == [1, "1 entry"] and none == [0, "0 entries"], \
        [matt, one, none]


def fits_a_phone(pages):
    script = TELL + """tell([document.documentElement.scrollWidth, window.innerWidth,
        Array.prototype.filter.call(document.querySelectorAll('.files a, .kind a, #search'),
        function (a) { return a.getBoundingClientRect().height < 24; }).length]);"""
    for page in pages:
        for size in (PHONE, DESK):
            wide, room, small = in_browser(page, script, size)
            assert wide <= room, f"{page.name} is {wide} wide in {room}"
            assert small == 0, f"{page.name}: {small} things are too small for a finger"


def is_accessible(pages):
    axe = (FETCHED / "node_modules/axe-core/axe.min.js").read_text(encoding="utf-8")
    script = axe.replace("</", "<\\/") + ";" + TELL + """
        axe.run().then(function (r) { tell(r.violations.map(function (v) {
            return v.id + ': ' + v.nodes.slice(0, 2).map(function (n) { return n.html; }); })); });"""
    for page in pages:
        for size in (PHONE, DESK):
            violations = in_browser(page, script, size)
            assert not violations, f"{page.name}: {violations}"


def is_valid_html(folders):
    (FETCHED / ".htmlvalidate.json").write_text(
        '{"root": true, "extends": ["html-validate:standard"]}')
    files = [str(p) for folder in folders for p in folder.glob("*.html")
             if not p.name.endswith(".card.html")] # those have a test of their own
    ran = subprocess.run([str(FETCHED / "node_modules/.bin/html-validate"), *files], cwd=FETCHED,
                         capture_output=True, timeout=120, check=False)
    assert ran.returncode == 0, ran.stdout.decode()[:800]


def main():
    failures = 0

    def attempt(name, work, *arguments):
        nonlocal failures
        try:
            work(*arguments)
            print(f"ok {name}", flush=True)
        except (AssertionError, OSError, KeyError, ValueError, StopIteration,
                subprocess.SubprocessError) as problem:
            failures += 1
            print(f"not ok {name}: {' '.join(str(problem).split())[:900]}", flush=True)

    with tempfile.TemporaryDirectory() as place:
        os.environ["FETTLE_CACHE"] = f"{place}/cache"
        site, changed = pathlib.Path(place) / "site", pathlib.Path(place) / "changed"
        fettle("library", "catalogue", "examples", "--into", str(site))
        shelf = "examples/shelf/tidewater.glazes-"
        fettle("library", "difference", f"{shelf}0.3.0.tar", f"{shelf}0.4.0.tar", "--into",
               str(changed))
        pages = [site / "index.html", site / "harbour_row.common.members.dark_bowls.html",
                 site / "harbour_row.bodies.heron_grey.html",
                 site / "harbour_row.kilns.loft.html",
                 site / "tidewater.glazes.firings.matt_firing.html",
                 changed / "difference.html"]
        attempt("every link leads somewhere", links_lead_somewhere, site)
        attempt("the index names every page", index_names_every_page, site)
        attempt("the catalogue is the same again", is_the_same_again, site)
        if CHROMIUM:
            attempt("the search finds", search_finds, site)
            attempt("nothing sticks out on a phone", fits_a_phone, pages)
        else:
            print("There is no chromium: the pages were not opened.")
        if (FETCHED / "node_modules/html-validate").exists():
            attempt("the pages are valid HTML", is_valid_html, [site, changed])
        else:
            print("There is no html-validate: the pages were not validated.")
        if CHROMIUM and (FETCHED / "node_modules/axe-core").exists():
            attempt("the pages are accessible", is_accessible, pages)
        else:
            print("There is no axe-core: the pages were not checked for accessibility.")
    return failures != 0


if __name__ == "__main__":
    sys.exit(main())
