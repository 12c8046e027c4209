#!/bin/sh
# The TextMate grammar reads every example as the program does (textmate.mjs). Skipped where node, npm or the two packages are missing, but not
# with --full or in CI. Usage: tests/editor/textmate.sh [PROGRAM]

. "$(dirname "$0")/../script.sh"
program=${1:-$root/build/waterleaf}
kept=$root/build/tests/editor-modules
cd "$root" || exit 2
missing() {
    if [ -n "$WATERLEAF_FULL" ]; then
        echo "  $1"
        echo "editor/textmate: 0 passed, 1 failed"
        exit 1
    fi
    echo "skipped: $1"
    exit 0
}
command -v npm >/dev/null 2>&1 && command -v node >/dev/null 2>&1 || missing 'node and npm are not installed (.ci/packages browser)'
if ! cmp -s tests/editor/package-lock.json "$kept/package-lock.json" || [ ! -d "$kept/node_modules/vscode-textmate" ]; then
    [ -n "$WATERLEAF_FULL$CI" ] || missing 'the packages were not fetched yet (make check-full does)'
    mkdir -p "$kept" && cp tests/editor/package.json tests/editor/package-lock.json tests/editor/.npmrc "$kept/" || exit 2
    (cd "$kept" && npm ci --ignore-scripts >"$work/npm" 2>&1) || {
        rm -f "$kept/package-lock.json"
        missing "npm could not fetch them ($(grep -m 1 -i error "$work/npm"))"
    }
fi
node tests/editor/textmate.mjs "$program" editors/textmate/waterleaf.tmLanguage.json "$kept" examples/*.wleaf examples/mills/*.wleaf
