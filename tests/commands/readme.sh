#!/bin/sh
# What the README shows is so: its first script is the example, and what comes out is what stands there.
# Usage: tests/commands/readme.sh [PROGRAM]

. "$(dirname "$0")/../script.sh"
program=${1:-$root/build/waterleaf}
cd "$root" || exit 2
blocks README.md "$work/blocks"

# Whether the block of that number is what stands in $work/true: NUMBER COMPLAINT.
same() {
    if cmp -s "$work/blocks/$1" "$work/true"; then good; else
        bad "$2"
        diff "$work/blocks/$1" "$work/true" | head -n 10
    fi
}
cp examples/first.wleaf "$work/true"
same 001 "the first script is not examples/first.wleaf"
"$program" weigh examples/first.wleaf --sheets 20 | head -n "$(wc -l <"$work/blocks/002")" >"$work/true"
same 002 "what weigh prints is not what the README shows"
sed 's/5 % on fibre/5 % of sheet/' examples/first.wleaf >"$work/first.wleaf"
(cd "$work" && "$program" check first.wleaf) | sed '/^$/d' >"$work/true"
same 003 "what check prints is not what the README shows"
counted commands/readme
