# shellcheck shell=bash
# Fetches what looks at pages in a browser into FETTLE_FETCHED, for tests/run.sh; without npm or a
# registry the checks do without it and say so.
if [ ! -d "$FETTLE_FETCHED/node_modules/html-validate" ] && command -v npm >/dev/null; then
    # Apache-2.0, MPL-2.0, MIT.
    packages=(playwright-core@1.49.1 axe-core@4.10.2 html-validate@8.29.0)
    echo "Fetching what looks at pages: npm install ${packages[*]}"
    mkdir -p "$FETTLE_FETCHED"
    npm install --silent --no-audit --no-fund --ignore-scripts --no-save \
        --prefix "$FETTLE_FETCHED" "${packages[@]}" >/dev/null 2>&1 ||
        echo "It could not be fetched."
fi
