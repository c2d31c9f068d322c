#!/usr/bin/env bash
# Builds Fettle and compiles a real firing: its table and curve here, its files in out/.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.."
. tests/install.sh

firing=examples/harbour_row/first_firing.fettle

install_packages "${build_packages[@]}"
launcher=()
if command -v ccache >/dev/null; then
    launcher=(-DCMAKE_CXX_COMPILER_LAUNCHER=ccache)
fi
echo "Building Fettle (a few minutes the first time)"
mkdir -p build
if ! { cmake --preset release -DFETTLE_TESTS=OFF "${launcher[@]}" &&
    cmake --build --preset release --target fettle --parallel "$(nproc)"; } >build/first-firing.log 2>&1; then
    tail -n 30 build/first-firing.log >&2
    echo "The build did not work; all of its words are in build/first-firing.log" >&2
    exit 1
fi

echo
build/release/fettle show "$firing"
build/release/fettle build "$firing" --as csv,json --into out/
echo
echo "The files for your kiln and your records:"
find "$PWD/out" -maxdepth 1 -type f -newer build/first-firing.log | LC_ALL=C sort | sed 's/^/    /'
echo "The firing itself is $firing: change it, then run, in $PWD,"
echo "    build/release/fettle show $firing"
