# shellcheck shell=bash disable=SC2034
# Sourced by the scripts of the project: `install_packages NAME...` installs those of the Debian
# packages that are missing, and says so.

install_packages() {
    local package missing=() run=()
    if ! command -v dpkg-query >/dev/null || ! command -v apt-get >/dev/null; then
        echo "This system has no apt-get. Needed are what Debian 12 calls: $*" >&2
        return 0
    fi
    for package in "$@"; do
        if ! dpkg-query -W -f '${Status}' "$package" 2>/dev/null | grep -q 'ok installed'; then
            missing+=("$package")
        fi
    done
    if [ ${#missing[@]} -eq 0 ]; then
        return 0
    fi
    if [ "$(id -u)" -ne 0 ]; then
        if ! command -v sudo >/dev/null; then
            echo "These packages are missing: ${missing[*]}" >&2
            echo "Become root and run: apt-get install ${missing[*]}" >&2
            return 1
        fi
        run=(sudo)
    fi
    run+=(env DEBIAN_FRONTEND=noninteractive apt-get)
    echo "Installing with apt-get: ${missing[*]}"
    # The list of packages is only fetched if it is missing or too old to find them.
    "${run[@]}" install -y -qq --no-install-recommends "${missing[@]}" >/dev/null 2>&1 && return 0
    echo "Updating the list of packages first: apt-get update"
    "${run[@]}" update -qq &&
        "${run[@]}" install -y -qq --no-install-recommends "${missing[@]}" >/dev/null && return 0
    echo "apt-get could not install: ${missing[*]}" >&2
    return 1
}

# What building the program takes.
build_packages=(g++ cmake ninja-build libfmt-dev libspdlog-dev tao-pegtl-dev nlohmann-json3-dev
    libcli11-dev nettle-dev libgmp-dev)
# What the tests take besides.
test_packages=(libgtest-dev git signify-openbsd node-spdx-license-ids node-spdx-exceptions
    python3-jsonschema clang libclang-rt-14-dev gcc-arm-none-eabi libstdc++-arm-none-eabi-newlib
    tidy chromium fonts-liberation tzdata)
