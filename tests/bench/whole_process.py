#!/usr/bin/env python3
"""Whole-process times, side by side in one run: python3 tests/bench/whole_process.py [FETTLE]

Each row gives the median of several runs, alternating between the commands that are compared, and
the ratio to the first. Needs `jsonnet` (Debian package) for its rows; leaves them out without it.
The output of every command goes to a file in memory, so that the disk is not measured.
"""
import os
import resource
import shutil
import statistics
import subprocess
import sys
import tempfile
import time

HERE = os.path.dirname(os.path.abspath(__file__))
ROOT = os.path.dirname(os.path.dirname(HERE))
FETTLE = sys.argv[1] if len(sys.argv) > 1 else os.path.join(ROOT, "build/release/fettle")
MEMORY = "/dev/shm" if os.path.isdir("/dev/shm") else None


def run(command, output):
    with open(output, "wb") as sink:
        before = resource.getrusage(resource.RUSAGE_CHILDREN)
        start = time.perf_counter()
        code = subprocess.run(command, stdout=sink, stderr=subprocess.DEVNULL).returncode
        wall = time.perf_counter() - start
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
    if code != 0:
        sys.exit(f"{' '.join(command)}: exit code {code}")
    return wall, after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def compare(title, commands, runs):
    print(title)
    with tempfile.TemporaryDirectory(dir=MEMORY) as folder:
        output = os.path.join(folder, "out")
        times = {name: [] for name in commands}
        cpu = {name: [] for name in commands}
        for command in commands.values():
            run(command, output)  # warm-up
        for _ in range(runs):
            for name, command in commands.items():
                wall, used = run(command, output)
                times[name].append(wall)
                cpu[name].append(used)
    first = statistics.median(next(iter(times.values())))
    for name in commands:
        median = statistics.median(times[name])
        print(f"  {name:34} {median * 1e3:9.2f} ms  (min {min(times[name]) * 1e3:.2f}, "
              f"processor {statistics.median(cpu[name]) * 1e3:.2f})  x{median / first:.2f}")


def generated(kind, number, folder):
    path = os.path.join(folder, f"{kind}_{number}.{'jsonnet' if kind == 'jsonnet' else 'fettle'}")
    with open(path, "w") as file:
        subprocess.run([sys.executable, os.path.join(HERE, "studio.py"), kind, str(number)],
                       stdout=file, check=True)
    return path


def empty_program(folder):
    """An empty C++ program, linked as fettle is."""
    source = os.path.join(folder, "empty.cpp")
    with open(source, "w") as file:
        file.write("int main() { return 0; }\n")
    program = os.path.join(folder, "empty")
    subprocess.run(["g++", "-O2", "-static", source, "-o", program], check=True)
    return program


def main():
    with tempfile.TemporaryDirectory(dir=MEMORY) as folder:
        small = os.path.join(ROOT, "examples/harbour_row/first_firing.fettle")
        compare("One small file to JSON, against an empty program",
                {"empty program": [empty_program(folder)],
                 "fettle build, first_firing": [FETTLE, "build", small, "--as", "json",
                                                "--into", "-", "--quiet"]}, 21)
        for count in (100, 1000, 10000):
            fettle = generated("fettle", count, folder)
            rows = {"fettle": [FETTLE, "build", fettle, "--as", "json", "--into", "-", "--quiet"],
                    "plain Python, json.dumps": [sys.executable, os.path.join(HERE, "studio.py"),
                                                 "python", str(count)]}
            if shutil.which("jsonnet"):
                rows["jsonnet"] = ["jsonnet", generated("jsonnet", count, folder)]
            compare(f"{count} firings of a template of 15 segments, as JSON", rows,
                    5 if count < 10000 else 2)
        print("Growth")
        for count in (100, 1000, 10000, 100000):
            fettle = generated("fettle", count, folder)
            with open("/dev/null", "wb") as sink:
                start = time.perf_counter()
                child = subprocess.Popen([FETTLE, "build", fettle, "--as", "json", "--into", "-",
                                          "--quiet"], stdout=sink, stderr=sink)
                _, status, usage = os.wait4(child.pid, 0)
                wall = time.perf_counter() - start
            print(f"  {count:7} firings {wall * 1e3:9.1f} ms {wall / count * 1e6:7.1f} us each, "
                  f"memory {usage.ru_maxrss / 1024:7.1f} MB, status {status}")


if __name__ == "__main__":
    main()
