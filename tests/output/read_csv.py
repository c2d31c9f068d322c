"""Reads a CSV file with Python's own csv module and writes its rows as JSON.

Also holds the file to RFC 4180: CR LF after every record, and as many fields in each.

    read_csv.py CSV JSON
"""

import csv
import json
import sys


def main(csv_path, json_path):
    with open(csv_path, encoding="utf-8", newline="") as file:
        text = file.read()
    rows = list(csv.reader(text.splitlines(keepends=True), strict=True))
    widths = {len(row) for row in rows}
    if len(widths) != 1:
        print(f"rows of different lengths: {sorted(widths)}")
        return 1
    # Outside quotes every line end is CR LF: take the quoted parts away and look.
    bare = "".join(text.split('"')[::2])
    if not text.endswith("\r\n") or bare.replace("\r\n", "").strip("\r\n") != bare.replace("\r\n", ""):
        print("a record does not end in CR LF")
        return 1
    if bare.count("\r\n") != len(rows) or "\n" in bare.replace("\r\n", ""):
        print("not one CR LF for each record")
        return 1
    with open(json_path, "w", encoding="utf-8") as file:
        json.dump(rows, file)
    return 0


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
