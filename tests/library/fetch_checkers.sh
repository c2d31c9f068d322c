# shellcheck shell=bash
# Fetches what checks web pages (html-validate for HTML, axe-core for accessibility; both MIT or
# MPL-2.0, for the tests alone) into FETTLE_FETCHED; without npm or a registry the checks of the
# catalogue do without them and say so.
mkdir -p "$FETTLE_FETCHED"
if [ ! -d "$FETTLE_FETCHED/pages/node_modules/axe-core" ] && command -v npm >/dev/null; then
    echo "Fetching the checkers of pages: npm install html-validate axe-core"
    mkdir -p "$FETTLE_FETCHED/pages"
    (
        cd "$FETTLE_FETCHED/pages" &&
            echo '{"private": true}' >package.json &&
            npm install --silent --no-audit --no-fund html-validate@10 axe-core@4 >/dev/null
    ) || echo "The checkers of pages could not be fetched."
fi
