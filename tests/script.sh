# What the test scripts share; sourced by them, as `. "$(dirname "$0")/../script.sh"`. Sets root, and work, a folder
# that is gone afterwards; counts what was good and what was bad; `counted NAME` ends a script.
# shellcheck shell=sh disable=SC2034

root=$(cd "$(dirname "$0")/../.." && pwd) || exit 2
work=$(mktemp -d) || exit 2
trap 'rm -rf "$work"' EXIT
trap 'exit 2' INT TERM HUP
passed=0
failed=0
good() { passed=$((passed + 1)); }
bad() {
    failed=$((failed + 1))
    echo "  $*"
}
expect() { if [ "$2" = "$3" ]; then good; else bad "$1 is '$2', not '$3'"; fi; }
counted() {
    echo "$1: $passed passed, $failed failed"
    [ "$failed" -eq 0 ]
}
