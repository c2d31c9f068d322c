#!/usr/bin/env bash
# The C++ headers of the Harbour Row firings: each compiles as C++17 with every warning an error,
# and the player plays it to its end.
set -uo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/../.." || exit
fettle=${FETTLE:-build/release/fettle}
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT

"$fettle" build examples/harbour_row --as header --into "$work" --quiet || {
    echo "not ok headers are written"
    exit 1
}
for source in runtime/player/*.cpp; do
    g++ -std=c++17 -O1 -I. -c "$source" -o "$work/$(basename "$source").o" || exit 1
done
shopt -s nullglob
headers=("$work"/*.h)
[ ${#headers[@]} -gt 9 ] || echo "not ok there are only ${#headers[@]} headers"
for header in "${headers[@]}"; do
    name=$(basename "$header" .h)
    if said=$(g++ -std=c++17 -Wall -Wextra -Wpedantic -Wshadow -Wconversion -Werror -I. \
        -DHEADER="\"$header\"" -DTABLE="$name" tests/output/header/play.cpp "$work"/*.o \
        -o "$work/play" 2>&1 && "$work/play"); then
        echo "ok the header of $name plays to its end"
    else
        echo "not ok the header of $name plays to its end: ${said//$'\n'/ | }"
    fi
done
