#!/bin/sh
# Speed and memory, as ratios against other programs in one run: best of five whole processes, in turns with the
# other program. Prints a table; each line says what was aimed at, and whether it was met. Ends with 2 where something
# cannot be measured; an aim that is missed is told, and fails nothing, since machines differ.
# What was measured last stands in README.md beside this file. Usage: tests/bench/bench.sh

cd "$(dirname "$0")/../.." || exit 2
LC_ALL=C
export LC_ALL
program=build/waterleaf
measure=build/tests/measure
generate=build/tests/generate
for tool in luac5.4 jq jsonnet valgrind groff weasyprint python3 clangd /usr/bin/time; do
    command -v $tool >/dev/null 2>&1 || { echo "bench.sh: $tool is missing (.ci/packages bench installs it)" >&2; exit 2; }
done
for made in $program $measure $generate; do
    [ -x $made ] || { echo "bench.sh: $made is not built (make bench builds it)" >&2; exit 2; }
done
work=$(mktemp -d) || exit 2
trap 'rm -rf "$work"' EXIT
trap 'exit 2' INT TERM HUP
missed=0

give_up() {
    echo "bench.sh: $*" >&2
    exit 2
}

# Nanoseconds that a command takes, run RUNS times in a row: RUNS COMMAND. Short commands need several, or the
# clock, which is a process too, is measured with them.
once() {
    runs=$1
    shift
    left=$runs
    begun=$(date +%s%N)
    while [ "$left" -gt 0 ]; do
        "$@" >/dev/null || give_up "$* failed"
        left=$((left - 1))
    done
    ended=$(date +%s%N)
    echo $(((ended - begun) / runs))
}

# The best of five of each of two commands, in turns: RUNS ONE OTHER.
best_of_both() {
    one=
    other=
    for round in 1 2 3 4 5; do
        # Split into words on purpose: a command and its arguments.
        took=$(once "$1" $2) || exit 2
        if [ -z "$one" ] || [ "$took" -lt "$one" ]; then one=$took; fi
        took=$(once "$1" $3) || exit 2
        if [ -z "$other" ] || [ "$took" -lt "$other" ]; then other=$took; fi
    done
}

# A line of the table: WHAT, OURS, OTHER, MEASURED, AIM (at most; "-": none).
line() {
    case $4 in '' | *[!0-9.-]*) give_up "$1: nothing was measured" ;; esac
    verdict=
    if [ "$5" != - ]; then
        if awk "BEGIN { exit !($4 <= $5) }"; then verdict=met; else
            verdict='not met'
            missed=$((missed + 1))
        fi
    fi
    printf '%-46s %14s %14s %10s %8s  %s\n' "$1" "$2" "$3" "$4" "$5" "$verdict"
}

ratio() { awk "BEGIN { printf \"%.2f\", ($1) / ($2) }"; }
milliseconds() { awk "BEGIN { printf ($1 < 1e7 ? \"%.2f ms\" : \"%.1f ms\"), $1 / 1e6 }"; }

# Compares two commands by time: WHAT, OURS, OTHER, AIM, RUNS.
compare() {
    best_of_both "$5" "$2" "$3"
    line "$1" "$(milliseconds "$one")" "$(milliseconds "$other")" "$(ratio "$one" "$other")" "$4"
}

# One of the figures of `measure --figures`: STAGE FILE WORD.
figure() {
    said=$($measure "$1" "$2" --unjudged --figures) || give_up "measure $1 $2 failed"
    echo "$said" | awk -v word="$3" '{ for (i = 1; i < NF; i++) if ($i == word) print $(i + 1) }'
}

# Bytes that working out holds beyond what reading the same papers held: FILE.
held_by_work() {
    held_read=$(figure kinds "$1" held) || exit 2
    held_worked=$(figure check "$1" held) || exit 2
    echo $((held_worked - held_read))
}

instructions() {
    # Split into words on purpose: a file and, perhaps, an option.
    valgrind --tool=callgrind --callgrind-out-file=/dev/null $measure check $1 >/dev/null 2>"$work/valgrind" ||
        give_up "valgrind measure check $1 failed"
    awk '/Collected/ { print $NF }' "$work/valgrind"
}

# Bytes of memory that a whole process has at the most: COMMAND.
peak() {
    /usr/bin/time -f %M -o "$work/peak" "$@" >/dev/null || give_up "$* failed"
    echo $(($(cat "$work/peak") * 1024))
}

make_file() { $generate "$1" "$2" >"$work/$3" || give_up "generate $1 $2 failed"; }

make_file library 50000000 library.wleaf
make_file lua 50000000 library.lua
make_file json 50000000 library.json
for count in 100 200 1000; do make_file papers $count $count.wleaf; done
make_file jsonnet 100 100.jsonnet
make_file variants 1 one.wleaf
make_file variants 2 two.wleaf
make_file variants 1000 many.wleaf
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
library=$work/library.wleaf

printf '%-46s %14s %14s %10s %8s\n' 'time' ours other ratio 'at most'
compare 'lexing 50 MB, against wc -l' "$measure tokens $library" "wc -l $library" 8 10
compare 'tree of 50 MB, against luac -p' "$measure tree $library" "luac5.4 -p $work/library.lua" - 1
compare 'names and kinds too, against luac -p' "$measure kinds $library" "luac5.4 -p $work/library.lua" 1.0 1
compare 'names and kinds too, against jq length' "$measure kinds $library" "jq length $work/library.json" 0.7 1
compare 'check of 100 papers, against jsonnet' "$measure check $work/100.wleaf" "jsonnet $work/100.jsonnet" - 1
compare 'the same without rules, against jsonnet' "$measure check $work/100.wleaf --unjudged" "jsonnet $work/100.jsonnet" - 1
compare 'check of 1,000 papers, against 100' "$measure check $work/1000.wleaf" "$measure check $work/100.wleaf" 11 1
compare 'start-up on one paper, against luac -p' "$program check $work/one.wleaf" "luac5.4 -p $work/ten.lua" 2 200

printf '\n%-46s %14s %14s %10s %8s\n' 'work' here there measured 'at most'
# Walks and figures alone; what rules cost beside them stands below.
for count in 100 200 1000; do
    did=$(figure check "$work/$count.wleaf" variants) || exit 2
    cost=$(instructions "$work/$count.wleaf --unjudged") || exit 2
    eval "variants_$count=\$did cost_$count=\$cost"
done
line 'instructions a variant (100 and 200 papers)' "$cost_100" "$cost_200" \
    "$(awk "BEGIN { printf \"%.0f\", ($cost_200 - $cost_100) / ($variants_200 - $variants_100) }")" 500000
# Rules and claims of a variant, against its walks and figures.
make_file variants 11 eleven.wleaf
make_file variants 111 hundred.wleaf
for judged in '' --unjudged; do
    few=$(instructions "$work/eleven.wleaf $judged") || exit 2
    more=$(instructions "$work/hundred.wleaf $judged") || exit 2
    if [ -z "$judged" ]; then with_rules=$(((more - few) / 100)); else without_rules=$(((more - few) / 100)); fi
done
line 'instructions of rules a variant, of its walks' "$((with_rules - without_rules))" "$without_rules" \
    "$(ratio "$((with_rules - without_rules))" "$without_rules")" 1
line 'instructions a variant, 1,000 against 100' "$(awk "BEGIN { printf \"%.0f\", $cost_1000 / $variants_1000 }")" \
    "$(awk "BEGIN { printf \"%.0f\", $cost_100 / $variants_100 }")" \
    "$(ratio "$cost_1000 / $variants_1000" "$cost_100 / $variants_100")" 1.05
walks=$(figure check "$work/1000.wleaf" walks) || exit 2
line 'walks a variant (1,000 papers)' "$walks" "$variants_1000" "$(ratio "$walks" "$variants_1000")" 12

printf '\n%-46s %14s %14s %10s %8s\n' 'memory, in bytes' here there measured 'at most'
bytes=$(wc -c <"$library")
for stage in tree kinds; do
    most=$(peak $measure $stage "$library") || exit 2
    line "peak of the process, $stage, a source byte" "$most" "$bytes" "$(ratio "$most" "$bytes")" 10
done
held=$(figure kinds "$library" held) || exit 2
line 'asked for, kinds, a source byte' "$held" "$bytes" "$(ratio "$held" "$bytes")" 10
# Twice, since either alone can be blind: one paper grows within room that reading left, and of many papers
# each has few variants.
few=$(figure check "$work/two.wleaf" held) || exit 2
many=$(figure check "$work/many.wleaf" held) || exit 2
longer=$(($(wc -c <"$work/many.wleaf") - $(wc -c <"$work/two.wleaf")))
line '2 and 1,000 variants, a byte typed for them' "$few" "$many" "$(ratio "$many - $few" "$longer")" 10
few=$(held_by_work "$work/100.wleaf") || exit 2
many=$(held_by_work "$work/1000.wleaf") || exit 2
line 'held by working out, a variant more' "$few" "$many" "$(ratio "$many - $few" "$variants_1000 - $variants_100")" 1

# shellcheck source=tests/bench/pages.sh
. tests/bench/pages.sh

# shellcheck source=tests/bench/keystrokes.sh
. tests/bench/keystrokes.sh

[ $missed -eq 0 ] || printf '\n%d not met\n' $missed
