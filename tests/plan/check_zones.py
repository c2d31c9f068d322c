#!/usr/bin/env python3
"""The planner's reader of time zone data agrees with Python's own, for every zone of the system at
random moments of a hundred years. Prints "ok NAME" or "not ok NAME: why"."""

import datetime
import pathlib
import random
import subprocess
import tempfile
import zoneinfo

ROOT = pathlib.Path(__file__).resolve().parents[2]
SOURCES = ["runtime/plan/zone.cpp", "runtime/plan/calendar.cpp"]
MOMENTS = 60
PROGRAM = r"""
#include "runtime/plan/calendar.h"
#include <fstream>
#include <iostream>
#include <sstream>
int main(int, char** words) {
    std::string name;
    fettle::Moment moment = 0;
    std::string last;
    fettle::Zone zone;
    while (std::cin >> name >> moment) {
        if (name != last) {
            std::ifstream file(std::string(words[1]) + "/" + name, std::ios::binary);
            std::stringstream bytes;
            bytes << file.rdbuf();
            zone = fettle::read_zone(bytes.str(), name).value();
            last = name;
        }
        std::cout << fettle::offset_s_at(zone, moment) << "\n";
    }
}
"""


def main():
    folder = next((f for f in zoneinfo.TZPATH if pathlib.Path(f, "UTC").exists()), None)
    name = "time zones, beside Python's"
    if folder is None:
        print(f"not ok {name}: the package tzdata is missing")
        return
    rng = random.Random(20261204)
    questions, expected = [], []
    for zone in sorted(zoneinfo.available_timezones()):
        if not pathlib.Path(folder, zone).exists():
            continue
        for _ in range(MOMENTS):
            minute = rng.randrange(0, 100 * 365 * 1440)
            moment = datetime.datetime.fromtimestamp(minute * 60, datetime.timezone.utc)
            offset = moment.astimezone(zoneinfo.ZoneInfo(zone)).utcoffset()
            questions.append(f"{zone} {minute}")
            expected.append(int(offset.total_seconds()))
    with tempfile.TemporaryDirectory() as work:
        program = pathlib.Path(work, "offsets")
        source = pathlib.Path(work, "offsets.cpp")
        source.write_text(PROGRAM, encoding="utf-8")
        subprocess.run(
            ["g++", "-std=c++20", "-O1", "-I.", source, *SOURCES, "-o", program],
            cwd=ROOT, check=True,
        )
        answer = subprocess.run(
            [program, folder], input="\n".join(questions), capture_output=True, text=True, check=False
        )
    found = [int(line) for line in answer.stdout.split()]
    wrong = [
        f"{question}: {ours}, not {theirs}"
        for question, ours, theirs in zip(questions, found, expected)
        if ours != theirs
    ]
    if len(found) != len(expected):
        wrong.append(f"{len(found)} answers to {len(expected)} questions {answer.stderr}")
    print(f"not ok {name}: {wrong[0]}" if wrong else f"ok {name}")


if __name__ == "__main__":
    main()
