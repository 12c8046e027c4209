#!/bin/sh
# What the README shows is so: its first script is the example, and what comes out is what stands there.
# Usage: tests/commands/readme.sh [PROGRAM]
here=$(cd "$(dirname "$0")" && pwd) || exit 2
root=$(cd "$here/../.." && pwd) || exit 2
program=${1:-$root/build/waterleaf}
work=$(mktemp -d) || exit 2
trap 'rm -rf "$work"' EXIT
cd "$root" || exit 2

# The block of that number, from 1, between lines of three backquotes.
block() {
    awk -v wanted="$1" '/^```/ { inside = !inside; number += inside; next } inside && number == wanted' README.md
}
same() {
    if cmp -s "$work/readme" "$work/true"; then passed=$((passed + 1)); else
        failed=$((failed + 1))
        echo "  $1"
        diff "$work/readme" "$work/true" | head -n 10
    fi
}
passed=0
failed=0
block 1 >"$work/readme"
cp examples/first.wleaf "$work/true"
same "the first script is not examples/first.wleaf"
block 2 >"$work/readme"
"$program" weigh examples/first.wleaf --sheets 20 | head -n "$(wc -l <"$work/readme")" >"$work/true"
same "what weigh prints is not what the README shows"
block 3 >"$work/readme"
sed 's/5 % on fibre/5 % of sheet/' examples/first.wleaf >"$work/first.wleaf"
(cd "$work" && "$program" check first.wleaf) | sed '/^$/d' >"$work/true"
same "what check prints is not what the README shows"
echo "commands/readme: $passed passed, $failed failed"
[ "$failed" -eq 0 ]
