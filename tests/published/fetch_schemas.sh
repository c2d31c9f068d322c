# shellcheck shell=bash
# Fetches published schemas from packages into FETTLE_FETCHED, for tests/run.sh; without npm or a
# registry the checks do without them and say so.
mkdir -p "$FETTLE_FETCHED"
if [ ! -s "$FETTLE_FETCHED/sarif-2.1.0.schema.json" ] && command -v npm >/dev/null; then
    package=@microsoft/jest-sarif@1.0.0-beta.0 # MIT; carries the schema of SARIF 2.1.0
    echo "Fetching the SARIF schema: npm pack $package"
    (
        cd "$FETTLE_FETCHED" &&
            npm pack --silent "$package" >/dev/null &&
            tar -xzf microsoft-jest-sarif-1.0.0-beta.0.tgz package/lib/schemas &&
            mv package/lib/schemas/sarif-2.1.0-rtm.5.json sarif-2.1.0.schema.json &&
            rm -rf package microsoft-jest-sarif-1.0.0-beta.0.tgz
    ) || echo "The SARIF schema could not be fetched."
fi
