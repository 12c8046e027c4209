#!/bin/sh
# Input that is no script, or one to choke on: each gets a clear message and the right exit status, within a
# second of processor time and with bounded memory. Usage: tests/stress/bad-input.sh [PROGRAM]

here=$(cd "$(dirname "$0")" && pwd) || exit 2
root=$(cd "$here/../.." && pwd) || exit 2
program=${1:-$root/build/waterleaf}
work=$(mktemp -d) || exit 2
trap 'rm -rf "$work"' EXIT
trap 'exit 2' INT TERM HUP
cd "$work" || exit 2
passed=0
failed=0

# Runs the program: the exit status, a word that must be said, and its arguments.
try() {
    status=$1
    says=$2
    shift 2
    (
        ulimit -t 1
        ulimit -v 2097152
        exec "$program" "$@"
    ) >said 2>&1
    found=$?
    lines=$(wc -l <said)
    if [ "$found" -eq "$status" ] && { [ -z "$says" ] || grep -q -- "$says" said; } && [ "$lines" -le 201 ]; then
        passed=$((passed + 1))
    else
        failed=$((failed + 1))
        echo "  $*: exit status $found, not $status; $lines lines; '$says' was to be said, and was:"
        head -c 400 said | sed 's/^/    /'
    fi
}

# Writes TEXT COUNT times.
repeat() { awk -v count="$1" -v text="$2" 'BEGIN { for (i = 0; i < count; i++) printf "%s", text }'; }

head -c 300000 "$program" >binary.wleaf
try 1 'unreadable-bytes' check --short binary.wleaf

: >empty.wleaf
try 0 '' check --short empty.wleaf

mkdir folder.wleaf
try 2 'folder' weigh folder.wleaf

try 2 'no such file' check --short missing.wleaf
try 2 'device' check --short /dev/zero
try 2 'device' check --short /dev/full

printf 'secret' >closed.wleaf
chmod 000 closed.wleaf
if ! cat closed.wleaf >/dev/null 2>&1; then
    try 2 'may not' check --short closed.wleaf
fi

# One line of 1 GB, in a file that takes no room.
printf 'waterleaf 1\nnote "a' >large.wleaf
truncate -s 1G large.wleaf
try 2 'larger' check --short large.wleaf

# The same as far as it may be read, and from a pipe that does not end.
{ printf 'waterleaf 1\nnote "'; repeat 65536 "$(repeat 1024 a)"; } >line.wleaf
try 1 'line-too-long' check --short line.wleaf
mkfifo endless
yes 'note "a"' >endless 2>/dev/null &
try 2 'larger' check --short - <endless

repeat 100000 'mould a:
' >nested.wleaf
try 1 'blocks-too-deep' check --short nested.wleaf

{ printf 'waterleaf 1\nlet a = '; repeat 1000 "$(repeat 1000 1)"; echo; } >number.wleaf
try 1 'number-too-long' check --short number.wleaf

{ printf 'waterleaf 1\nlet a = '; repeat 1000 "$(repeat 500 '(')"; echo; } >brackets.wleaf
try 1 'brackets-too-deep' check --short brackets.wleaf

{ printf 'waterleaf 1\n'; repeat 100000 'note "a" @
'; } >mistakes.wleaf
try 1 'reading-stopped' check --short mistakes.wleaf

printf 'waterleaf 1\nuse "itself"\n' >itself.wleaf
try 1 'use-ring' check --short itself.wleaf

printf 'waterleaf 1\nuse "device"\n' >uses.wleaf
ln -s /dev/zero device.wleaf
try 1 'use-outside' check --short uses.wleaf

mkfifo pipe.wleaf
(sleep 0.2; printf 'waterleaf 1\nnote "a" @\n') >pipe.wleaf &
try 1 'strange-sign' check --short pipe.wleaf
# One that is opened late is waited for, and one that is not opened at all is no empty script.
(sleep 0.5; printf 'waterleaf 1\nnote "a" @\n' >pipe.wleaf) &
try 1 'strange-sign' check --short pipe.wleaf
try 2 'cannot be read' check --short pipe.wleaf

# What doubles with each line ends before it has doubled sixty times.
awk 'BEGIN { print "waterleaf 1\nlet a-0 = 1"; for (i = 1; i <= 60; i++) printf "let a-%d = a-%d + a-%d\n", i, i - 1, i - 1
    print "reckon doubled as ratio = a-60\n" }' >doubled.wleaf
sed 's/^waterleaf 1$//' "$root/tests/golden/flow/second.wleaf" >>doubled.wleaf
sed 's/^  furnish:/  expect doubled, within 1..2_000_000_000_000_000_000\n  furnish:/' doubled.wleaf >expected.wleaf
try 1 'too-much-work' check --short expected.wleaf
try 1 '' why expected.wleaf second doubled

awk 'BEGIN { print "waterleaf 1\nfields mould:"; for (i = 1; i <= 40; i++) { printf "  gives a-%d as length = least(a-%d", i, i + 1
    for (j = 0; j < 30; j++) printf ", a-%d", i + 1; print ")" } print "  gives a-41 as length = 1 mm\nend" }' >fanned.wleaf
try 0 '' check --short fanned.wleaf

# Long chains of names, of used scripts, and of steps made of steps.
awk 'BEGIN { print "waterleaf 1\nlet a-0 = 1"; for (i = 1; i <= 20000; i++) printf "let a-%d = a-%d + 1\n", i, i - 1 }' >chain.wleaf
try 0 '' check --short chain.wleaf
awk 'BEGIN { print "waterleaf 1\nstep s-0:\n  waits for 1 h\nend"; for (i = 1; i <= 40; i++) printf "step s-%d:\n  s-%d\n  s-%d\nend\n", i, i - 1, i - 1 }' >steps.wleaf
sed -e 's/^waterleaf 1$//' -e 's/^    blend .*/&\n    s-40/' "$root/tests/golden/flow/second.wleaf" >>steps.wleaf
try 1 'too-much-work' check --short steps.wleaf
awk 'BEGIN { for (i = 0; i < 300; i++) { file = "used-" i ".wleaf"; printf "waterleaf 1\nuse \"used-%d\"\n", i + 1 >file; close(file) } }'
echo 'waterleaf 1' >used-300.wleaf
try 0 '' check --short used-0.wleaf

echo "bad-input: $passed passed, $failed failed"
[ "$failed" -eq 0 ]
