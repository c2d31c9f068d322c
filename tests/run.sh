#!/usr/bin/env bash
# Builds and runs every test; the last line says how many passed and failed.
#   --quick    without the fuzzing
#   --accept   takes the present outputs as the expected ones (rewrites the golden files)
set -uo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.." || exit
. tests/install.sh

fuzz_seconds=20 # for each fuzz program
quick=no
for argument in "$@"; do
    case $argument in
    --quick) quick=yes ;;
    --accept) export FETTLE_ACCEPT=1 ;;
    *)
        sed -n '2,4s/^# *//p' "${BASH_SOURCE[0]}" >&2
        exit 2
        ;;
    esac
done

passed=0
failed=0
failures=()

pass() { passed=$((passed + 1)); }
fail() {
    failed=$((failed + 1))
    failures+=("$1")
}
finish() {
    if [ ${#failures[@]} -ne 0 ]; then
        echo
        echo "Failed:"
        printf '    %s\n' "${failures[@]}"
    fi
    echo
    echo "$passed passed, $failed failed"
    [ "$failed" -eq 0 ]
    exit
}
# build NAME cmake-options...: configures and builds the preset NAME.
build() {
    local preset=$1 launcher=()
    shift
    if command -v ccache >/dev/null; then
        launcher=(-DCMAKE_CXX_COMPILER_LAUNCHER=ccache)
    fi
    mkdir -p build
    echo "Building the preset $preset (its words are in build/$preset.log)"
    cmake --preset "$preset" "$@" "${launcher[@]}" >"build/$preset.log" 2>&1 &&
        cmake --build --preset "$preset" --parallel "$(nproc)" >>"build/$preset.log" 2>&1
}
# Reads "ok NAME" and "not ok NAME: why" of a check program; a crash of it is a failure too.
run_checks() {
    local script=${!#} output status before=$failed
    echo
    echo "== $script"
    output=$("$@" 2>&1 </dev/null)
    status=$?
    echo "$output"
    while IFS= read -r line; do
        case $line in
        "ok "*) pass ;;
        "not ok "*) fail "$script: ${line#not ok }" ;;
        esac
    done <<<"$output"
    if [ $status -ne 0 ] && [ "$failed" -eq "$before" ]; then
        fail "$script ended with status $status"
    fi
}
run_fuzzer() {
    local program=$1 name work
    name=$(basename "$program")
    work=$(mktemp -d)
    mkdir "$work/found"
    local corpus=("$work/found")
    if [ -d "tests/fuzz/corpus/${name%_fuzz}" ]; then
        corpus+=("tests/fuzz/corpus/${name%_fuzz}")
    fi
    # Every program that the tests have is a place to start from.
    corpus+=(tests/language/right tests/language/wrong tests/stdlib/good tests/stdlib/losses)
    if "$program" -max_total_time=$fuzz_seconds -timeout=20 -rss_limit_mb=4096 \
        -artifact_prefix="$work/" "${corpus[@]}" >"build/$name.log" 2>&1; then
        echo "ok $name for $fuzz_seconds s"
        pass
        rm -rf "$work"
    else
        tail -n 40 "build/$name.log"
        echo "not ok $name: the input is in $work"
        fail "$name"
    fi
}

install_packages "${build_packages[@]}" "${test_packages[@]}" || exit 1

werror=OFF
[ "${CI:-}" = true ] && werror=ON
if ! build release -DFETTLE_TESTS=ON -DFETTLE_WERROR=$werror; then
    tail -n 60 build/release.log
    fail "the build"
    finish
fi

export FETTLE=$PWD/build/release/fettle
export FETTLE_SAMPLES=$PWD/build/samples
export FETTLE_FETCHED=$PWD/build/fetched
results=$PWD/build/results
rm -rf "$results" "$FETTLE_SAMPLES"
mkdir -p "$results" "$FETTLE_SAMPLES"
GTEST_OUTPUT=xml:$results/ ctest --test-dir build/release --no-tests=error --output-on-failure \
    --timeout 600 --parallel "$(nproc)" --output-junit "$results/ctest.junit"
counted=$(/usr/bin/python3 tests/count_cases.py "$results") || counted="not ok the count of the tests"
while IFS= read -r line; do
    case $line in
    "passed "*) passed=$((passed + ${line#passed })) ;;
    "not ok "*) fail "${line#not ok }" ;;
    esac
done <<<"$counted"

. tests/published/fetch_schemas.sh
. tests/library/fetch_checkers.sh
. tests/output/fetch_browser_tools.sh
for script in tests/*/check_*.py; do
    [ -e "$script" ] && run_checks /usr/bin/python3 "$script"
done
for script in tests/*/check_*.sh; do
    [ -e "$script" ] && run_checks bash "$script"
done

if [ $quick = no ] && command -v clang++ >/dev/null; then
    echo
    if build fuzz; then
        for program in build/fuzz/*_fuzz; do
            [ -x "$program" ] && run_fuzzer "$program"
        done
    else
        tail -n 60 build/fuzz.log
        fail "the build of the fuzz programs"
    fi
fi
finish
