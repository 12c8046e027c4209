#!/bin/sh
# Speed and memory, as ratios against other programs in one run: best of five whole processes, in turns with the
# other program. Prints a table; each line says what was aimed at, and whether it was met. Ends with 1 where one was not.
# What was measured last stands in README.md beside this file. Usage: tests/bench/bench.sh

cd "$(dirname "$0")/../.." || exit 2
LC_ALL=C
export LC_ALL
program=build/waterleaf
measure=build/tests/measure
generate=build/tests/generate
for tool in luac5.4 jq jsonnet valgrind; do
    command -v $tool >/dev/null 2>&1 || { echo "bench.sh: $tool is missing (.ci/packages bench installs it)" >&2; exit 2; }
done
for made in $program $measure $generate; do
    [ -x $made ] || { echo "bench.sh: $made is not built (make bench builds it)" >&2; exit 2; }
done
work=$(mktemp -d) || exit 2
trap 'rm -rf "$work"' EXIT
trap 'exit 2' INT TERM HUP
missed=0

# Microseconds that a command takes.
once() {
    begun=$(date +%s%N)
    "$@" >/dev/null || { echo "bench.sh: $* failed" >&2; exit 2; }
    ended=$(date +%s%N)
    echo $(((ended - begun) / 1000))
}

# The best of five of each of two commands, in turns.
best_of_both() {
    one=
    other=
    for round in 1 2 3 4 5; do
        # Split into words on purpose: a command and its arguments.
        took=$(once $1) || exit 2
        if [ -z "$one" ] || [ "$took" -lt "$one" ]; then one=$took; fi
        took=$(once $2) || exit 2
        if [ -z "$other" ] || [ "$took" -lt "$other" ]; then other=$took; fi
    done
}

# A line of the table: WHAT, OURS, OTHER, MEASURED, AIM (at most; "-": none).
line() {
    verdict=
    if [ "$5" != - ]; then
        if awk "BEGIN { exit !($4 <= $5) }"; then verdict=met; else
            verdict='not met'
            missed=$((missed + 1))
        fi
    fi
    printf '%-44s %14s %14s %10s %10s  %s\n' "$1" "$2" "$3" "$4" "$5" "$verdict"
}

ratio() { awk "BEGIN { printf \"%.2f\", $1 / $2 }"; }
milliseconds() { awk "BEGIN { printf \"%.1f ms\", $1 / 1000 }"; }

# Compares two commands by time: WHAT, OURS, OTHER, AIM.
compare() {
    best_of_both "$2" "$3"
    line "$1" "$(milliseconds "$one")" "$(milliseconds "$other")" "$(ratio "$one" "$other")" "$4"
}

# One of the figures of `measure --figures`: STAGE FILE WORD.
figure() { $measure "$1" "$2" --figures | awk -v word="$3" '{ for (i = 1; i < NF; i++) if ($i == word) print $(i + 1) }'; }

instructions() {
    valgrind --tool=callgrind --callgrind-out-file=/dev/null $measure check "$1" 2>&1 | awk '/Collected/ { print $NF }'
}

$generate library 50000000 >"$work/library.wleaf"
$generate lua 50000000 >"$work/library.lua"
$generate json 50000000 >"$work/library.json"
for count in 100 200 1000 10000; do $generate papers $count >"$work/$count.wleaf"; done
$generate jsonnet 1000 >"$work/1000.jsonnet"
$generate variants 2 >"$work/two.wleaf"
$generate variants 1000 >"$work/many.wleaf"
$generate variants 1 >"$work/one.wleaf"
cat >"$work/ten.lua" <<'END'
local papers = {}
papers.plain = {
  title = "Plain", grammage = 200, mould = "demy",
  furnish = {linters = 0.75, linen = 0.25},
}
function papers.dry(paper, moisture)
  local dry = paper.grammage * (1 - moisture)
  return dry
end
print(papers.dry(papers.plain, 0.065))
END

printf '%-44s %14s %14s %10s %10s\n' '' ours other ratio 'at most'
compare 'lexing 50 MB, against wc -l' "$measure tokens $work/library.wleaf" "wc -l $work/library.wleaf" 8
compare 'tree of 50 MB, against luac -p' "$measure tree $work/library.wleaf" "luac5.4 -p $work/library.lua" -
compare 'names and kinds too, against luac -p' "$measure kinds $work/library.wleaf" "luac5.4 -p $work/library.lua" 1.0
compare 'names and kinds too, against jq length' "$measure kinds $work/library.wleaf" "jq length $work/library.json" 0.7
compare 'check of 1,000 papers, against jsonnet' "$measure check $work/1000.wleaf" "jsonnet $work/1000.jsonnet" -
compare 'check of 10,000 papers, against ten of 1,000' "$measure check $work/10000.wleaf" "$measure check $work/1000.wleaf" 11

# Start-up: 200 runs of each, so that one is not lost in the clock.
cat >"$work/ours.sh" <<END
i=0; while [ \$i -lt 200 ]; do $program check $work/one.wleaf; i=\$((i + 1)); done
END
cat >"$work/lua.sh" <<END
i=0; while [ \$i -lt 200 ]; do luac5.4 -p $work/ten.lua; i=\$((i + 1)); done
END
compare 'start-up on one paper, against luac -p' "sh $work/ours.sh" "sh $work/lua.sh" 2

printf '\n%-44s %14s %14s %10s %10s\n' '' here there measured 'at most'
variants_small=$(figure check "$work/100.wleaf" variants)
variants_large=$(figure check "$work/200.wleaf" variants)
small=$(instructions "$work/100.wleaf")
large=$(instructions "$work/200.wleaf")
line 'instructions a variant (100 and 200 papers)' "$small" "$large" \
    "$(awk "BEGIN { printf \"%.0f\", ($large - $small) / ($variants_large - $variants_small) }")" 500000
walks=$(figure check "$work/1000.wleaf" walks)
variants=$(figure check "$work/1000.wleaf" variants)
line 'walks a variant (1,000 papers)' "$walks" "$variants" "$(ratio "$walks" "$variants")" 12
held=$(figure kinds "$work/library.wleaf" held)
bytes=$(figure kinds "$work/library.wleaf" bytes)
line 'bytes held a source byte, with names and kinds' "$held" "$bytes" "$(ratio "$held" "$bytes")" 10
few=$(figure check "$work/two.wleaf" held)
many=$(figure check "$work/many.wleaf" held)
grown=$((many - few))
longer=$(($(wc -c <"$work/many.wleaf") - $(wc -c <"$work/two.wleaf")))
line 'bytes more for 998 more variants, a byte typed' "$few" "$many" "$(ratio "$grown" "$longer")" 60

[ $missed -eq 0 ] || printf '\n%d not met\n' $missed
