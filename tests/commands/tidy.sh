#!/bin/sh
# tidy: what it writes and what it names; what cannot be read or written stays as it was. Usage: tests/commands/tidy.sh [PROGRAM]

. "$(dirname "$0")/../script.sh"
program=${1:-$root/build/waterleaf}
cd "$root" || exit 2
unset NO_COLOR

# Runs tidy: the exit status that it must have, and its arguments. What it says is in $work/out and $work/err.
try() {
    status=$1
    shift
    "$program" tidy "$@" >"$work/out" 2>"$work/err" </dev/null
    found=$?
    if [ "$found" -eq "$status" ]; then good; else bad "tidy $*: exit status $found, not $status: $(head -n 3 "$work/err")"; fi
}

mkdir "$work/mill"
cp tests/tidy/given.wleaf "$work/mill/given.wleaf"
cp tests/tidy/tidied.wleaf "$work/mill/tidied.wleaf"
printf 'waterleaf 1\nlet a = (1\n' >"$work/mill/wrong.wleaf"
chmod 640 "$work/mill/given.wleaf"

try 1 --check "$work/mill/given.wleaf"
expect 'what is named' "$(cat "$work/out")" "$work/mill/given.wleaf is not tidy"
if cmp -s tests/tidy/given.wleaf "$work/mill/given.wleaf"; then good; else bad '--check wrote'; fi
try 0 --check "$work/mill/tidied.wleaf" examples
expect 'what is tidy is named' "$(cat "$work/out")" ''

inode=$(stat -c %i "$work/mill/tidied.wleaf")
(cd "$work/mill" && "$program" tidy) >"$work/out" 2>"$work/err"
expect 'exit status with one that cannot be read' $? 1
expect 'what was written' "$(cat "$work/out")" given.wleaf
if cmp -s tests/tidy/tidied.wleaf "$work/mill/given.wleaf"; then good; else bad 'it is not in its one form'; fi
expect 'the mode' "$(stat -c %a "$work/mill/given.wleaf")" 640
expect 'a tidy file is left alone' "$(stat -c %i "$work/mill/tidied.wleaf")" "$inode"
if grep -q 'bracket-open' "$work/err"; then good; else bad 'the mistake is not said'; fi
expect 'what cannot be read' "$(cat "$work/mill/wrong.wleaf")" "$(printf 'waterleaf 1\nlet a = (1')"

"$program" tidy - <tests/tidy/given.wleaf >"$work/out" 2>"$work/err"
expect 'from standard input' $? 0
if cmp -s tests/tidy/tidied.wleaf "$work/out"; then good; else bad 'to standard output it is another'; fi

try 2 "$work/no-such.wleaf"
cp tests/tidy/given.wleaf "$work/mill/given.wleaf"
if "$program" tidy "$work/mill/tidied.wleaf" >/dev/full 2>/dev/null || [ $? -eq 2 ]; then good; else bad 'a full output'; fi
"$program" tidy - <tests/tidy/given.wleaf >/dev/full 2>"$work/err"
expect 'a full output' $? 2
# A disk that is full leaves the script as it was.
if (ulimit -f 0 && trap '' XFSZ && exec "$program" tidy "$work/mill/given.wleaf") >"$work/out" 2>"$work/err"; then bad 'a full disk is not told'; else good; fi
if cmp -s tests/tidy/given.wleaf "$work/mill/given.wleaf"; then good; else bad 'a full disk lost the script'; fi
expect 'what lies beside it' "$(cd "$work/mill" && echo ./*)" './given.wleaf ./tidied.wleaf ./wrong.wleaf'

try 1 --json --check "$work/mill"
expect 'as JSON' "$(jq -c '[.files[] | [(.file | sub(".*/"; "")), .tidy, .written, .readable]]' "$work/out")" \
    '[["given.wleaf",false,false,true],["tidied.wleaf",true,false,true],["wrong.wleaf",false,false,false]]'
counted commands/tidy
