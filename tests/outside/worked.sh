#!/bin/sh
# Runs the published examples of worked.wleaf, and then the same with one expectation moved, which must fail:
# so that a program that checks nothing does not pass.
# Usage: tests/outside/worked.sh [PROGRAM]

here=$(cd "$(dirname "$0")" && pwd) || exit 2
root=$(cd "$here/../.." && pwd) || exit 2
program=${1:-$root/build/waterleaf}

"$program" check --strict "$here/worked.wleaf" || exit 1

work=$(mktemp -d) || exit 2
trap 'rm -rf "$work"' EXIT
trap 'exit 2' INT TERM HUP
for moved in 's/within 26.19..26.21/within 26.29..26.31/' 's/within 127.7415..127.7425/within 127.7515..127.7525/' \
    's/within 43.25..43.35/within 43.35..43.45/'; do
    sed "$moved" "$here/worked.wleaf" >"$work/worked.wleaf"
    if cmp -s "$work/worked.wleaf" "$here/worked.wleaf"; then
        echo "worked.sh: nothing to move for $moved"
        exit 1
    fi
    if "$program" check --strict "$work/worked.wleaf" >"$work/said" 2>&1; then
        echo "worked.sh: an expectation that cannot hold passed: $moved"
        exit 1
    fi
done
echo "worked: $(grep -c '^  expect ' "$here/worked.wleaf") examples hold"
