"""The same studio written four ways, for the whole-process benchmarks.

    python3 tests/bench/studio.py fettle 10000 > studio.fettle    a template and N firings of it
    python3 tests/bench/studio.py jsonnet 10000 > studio.jsonnet  the same segments as data templates
    python3 tests/bench/studio.py python 10000                    the same in plain Python: prints JSON
    python3 tests/bench/studio.py mixed 10000000 > big.fettle     about that many bytes of everything

One firing is 15 segments in 4 phases, with five parameters. The other languages print segments with
the same fields as Fettle's; they check nothing, find no cone and run no rule.
"""
import json
import sys

FETTLE_HEAD = '''# Made by tests/bench/studio.py; invented.
body bench_clay "A clay for measuring" {
    kind         stoneware
    bisque       cone 08 to cone 04
    matures      cone 6
    thickness    6mm
    moisture     0.5%
    organics     0.1%
    carbonates   0%
    free_quartz  3%
    cristobalite 0%
}

kiln bench_kiln "A kiln for measuring" {
    fuel    electric
    volume  180L
    power   9kW
    ceiling 1280C
}

template bisque(body: Body, kiln: Kiln, thickness: Length, hold: Duration, top: Temperature) "Bisque" {
    phase drying "Dry" {
        vent open
        ramp to 80C at (60C/h when thickness <= 10mm otherwise 30C/h)
        soak hold * 3
        ramp to 120C at 30C/h
        soak hold
    }
    phase burnout "Burn out" {
        ramp to 350C at 80C/h
        soak hold
        ramp to 600C at 60C/h
        soak hold
        ramp to 900C at 100C/h
        vent closed
    }
    phase finish "Finish" {
        ramp to top - 50dC at 100C/h
        ramp to top at 60C/h
        soak 10m
    }
    phase cooling "Cool" {
        cool to 700C at 150C/h
        cool to 500C at 60C/h
        cool to 100C at 100C/h
    }
}
'''

JSONNET_HEAD = '''// Made by tests/bench/studio.py; invented.
local segment(phase, kind, from, to, duration_s, rate, line) = {
  phase: phase, to_cone: null, kind: kind, from_c: from, to_c: to, duration_s: duration_s,
  rate_c_per_h: rate, waiting_within_c: null, atmosphere: null,
  vent: if phase == 'drying' || phase == 'burnout' then 'open' else 'closed',
  settings: {}, notes: [], jobs: [],
  from: [{ file: 'studio.jsonnet', line: line }, { file: 'studio.jsonnet', line: 1 }],
};
local ramp(phase, from, to, rate) = segment(phase, 'ramp', from, to,
  std.abs(to - from) / rate * 3600, if to < from then -rate else rate, 30);
local soak(phase, at, s) = segment(phase, 'soak', at, at, s, 0, 31);
local placed(segments) = std.foldl(
  function(done, s) {
    at: done.at + s.duration_s,
    list: done.list + [s { index: std.length(done.list), starts_s: done.at }],
  }, segments, { at: 0, list: [] }).list;
local bisque(name, title, thickness_mm, hold_s, top) = {
  name: name, title: title, thickness_mm: thickness_mm,
  segments: placed([
    ramp('drying', 20, 80, if thickness_mm <= 10 then 60 else 30),
    soak('drying', 80, hold_s * 3), ramp('drying', 80, 120, 30), soak('drying', 120, hold_s),
    ramp('burnout', 120, 350, 80), soak('burnout', 350, hold_s), ramp('burnout', 350, 600, 60),
    soak('burnout', 600, hold_s), ramp('burnout', 600, 900, 100),
    ramp('finish', 900, top - 50, 100), ramp('finish', top - 50, top, 60), soak('finish', top, 600),
    ramp('cooling', top, 700, 150), ramp('cooling', 700, 500, 60), ramp('cooling', 500, 100, 100),
  ]),
  duration_s: std.foldl(function(sum, s) sum + s.duration_s, self.segments, 0),
  peak_c: std.foldl(function(peak, s) std.max(peak, s.to_c), self.segments, 20),
};
'''


def parameters(i):
    return 6 + i % 3, 10 + i % 20, 980 + i % 30  # thickness mm, hold min, top C


def segment(phase, kind, start, end, duration_s, rate, line):
    return {"phase": phase, "to_cone": None, "kind": kind, "from_c": start, "to_c": end,
            "duration_s": duration_s, "rate_c_per_h": rate, "waiting_within_c": None,
            "atmosphere": None, "vent": "open" if phase in ("drying", "burnout") else "closed",
            "settings": {}, "notes": [], "jobs": [],
            "from": [{"file": "studio.py", "line": line}, {"file": "studio.py", "line": 1}]}


def ramp(phase, start, end, rate):
    return segment(phase, "ramp", start, end, abs(end - start) / rate * 3600,
                   -rate if end < start else rate, 30)


def soak(phase, at, seconds):
    return segment(phase, "soak", at, at, seconds, 0, 31)


def bisque(name, title, thickness_mm, hold_s, top):
    segments = [
        ramp("drying", 20, 80, 60 if thickness_mm <= 10 else 30),
        soak("drying", 80, hold_s * 3), ramp("drying", 80, 120, 30), soak("drying", 120, hold_s),
        ramp("burnout", 120, 350, 80), soak("burnout", 350, hold_s),
        ramp("burnout", 350, 600, 60), soak("burnout", 600, hold_s),
        ramp("burnout", 600, 900, 100),
        ramp("finish", 900, top - 50, 100), ramp("finish", top - 50, top, 60),
        soak("finish", top, 600),
        ramp("cooling", top, 700, 150), ramp("cooling", 700, 500, 60),
        ramp("cooling", 500, 100, 100),
    ]
    at = 0
    for index, each in enumerate(segments):
        each["index"] = index
        each["starts_s"] = at
        at += each["duration_s"]
    return {"name": name, "title": title, "thickness_mm": thickness_mm, "segments": segments,
            "duration_s": sum(s["duration_s"] for s in segments),
            "peak_c": max(s["to_c"] for s in segments)}


def fettle(count):
    yield FETTLE_HEAD
    for i in range(count):
        thickness, hold, top = parameters(i)
        yield (f'firing f{i} = bisque(body: bench_clay, kiln: bench_kiln, thickness: {thickness}mm, '
               f'hold: {hold}m, top: {top}C) "Firing {i}"\n')


def jsonnet(count):
    yield JSONNET_HEAD + "[\n"
    for i in range(count):
        thickness, hold, top = parameters(i)
        yield f"  bisque('f{i}', 'Firing {i}', {thickness}, {hold * 60}, {top}),\n"
    yield "]\n"


def python(count):
    for i in range(count):
        thickness, hold, top = parameters(i)
        yield json.dumps(bisque(f"f{i}", f"Firing {i}", thickness, hold * 60, top)) + "\n"


def mixed(size):
    """Whole templates, phases, functions and firings over and over, up to about `size` bytes."""
    written = 0
    i = 0
    while written < size:
        part = (FETTLE_HEAD.replace("bench_clay", f"clay_{i}").replace("bench_kiln", f"kiln_{i}")
                .replace("template bisque", f"template bisque_{i}"))
        part += (f"function gentle_{i}(thickness: Length, rate: Rate = 100C/h) -> Rate =\n"
                 f"    rate when thickness <= 10mm otherwise rate * 0.6\n"
                 f"phase inversion_{i}(thickness: Length) \"Cross 573 degrees\" {{\n"
                 f"    ramp to 540C at gentle_{i}(thickness)\n"
                 f"    ramp to 630C at gentle_{i}(thickness, rate: 60C/h)\n"
                 f"}}\n"
                 f"let top_{i} = 1000C + {i % 40} * 1dC\n")
        for k in range(4):
            part += (f"firing f{i}_{k} = bisque_{i}(body: clay_{i}, kiln: kiln_{i}, "
                     f"thickness: {6 + k}mm, hold: 20m, top: top_{i})\n")
        written += len(part)
        i += 1
        yield part


if __name__ == "__main__":
    kind, number = sys.argv[1], int(sys.argv[2])
    for text in {"fettle": fettle, "jsonnet": jsonnet, "python": python, "mixed": mixed}[kind](number):
        sys.stdout.write(text)
