#!/bin/sh
# why: which figure a question means, of whole papers, lines, things and variants; how much is told at the most. Usage: tests/commands/why-asked.sh [PROGRAM]
# With WATERLEAF_UPDATE the golden texts are written anew.

. "$(dirname "$0")/../script.sh"
program=${1:-$root/build/waterleaf}
cd "$root" || exit 2
. tests/golden/why/golden.sh

# ---- questions that stand in a script, each as `#? NAME | FIGURE [--depth N]`, with their answers beside it ----

# The answer to one: QUESTION SCRIPT.
answer() {
    named=${1%% | *}
    figure=${1#* | }
    depth=
    case $figure in *' --depth '*)
        depth=${figure##* --depth }
        figure=${figure% --depth *}
        ;;
    esac
    told "$2" "$named" "$figure" ${depth:+--depth "$depth"}
}
answers() {
    sed -n 's/^#? //p' "$1" | while IFS= read -r question; do
        printf '? %s\n' "$question"
        answer "$question" "$1"
        echo
    done >"$work/out"
    held "the questions in $1" "${1%.wleaf}.txt"
}
answers tests/golden/why/asked.wleaf

# ---- no more than can be read ----

asked=tests/golden/why/asked.wleaf
awk '{ print } /^    stir  *for/ { for (i = 0; i < 210; i++) print "    stir  for 1 min" }' $asked >"$work/many.wleaf"
expect 'of what more than 200 lines give, the first 200' "$("$program" why "$work/many.wleaf" asked stirred --depth 1 | grep -c '^stirred of')" 200

# `wide` has 12 parts that were typed, then 16 that have 38 each: itself, 12 and 15 * 39 are 598, and the sixteenth is the 599th, so that
# its 38 are told, too: 637. Of the seventeenth, behind the 600th, it is told that it is made of others. `long-winded` doubles 1 seventeen
# times, each time by asking twice.
{
    cat $asked
    awk 'function sum(name, count,   i, text) { for (i = 1; i <= count; i++) text = text (i > 1 ? " + " : "") name i; return text }
        BEGIN {
            for (i = 1; i <= 12; i++) print "reckon t" i " as ratio = " i
            for (i = 1; i <= 16; i++) {
                for (j = 1; j <= 38; j++) print "reckon u" i "-" j " as ratio = " j
                print "reckon s" i " as ratio = " sum("u" i "-", 38)
            }
            print "reckon s17 as ratio = u1-1 + u1-2"
            print "reckon wide as ratio = " sum("t", 12) " + " sum("s", 17)
            print "let doubled1(x as ratio) as ratio = x + x"
            for (i = 2; i <= 17; i++) print "let doubled" i "(x as ratio) as ratio = doubled" i - 1 "(x) + doubled" i - 1 "(x)"
            print "reckon long-winded as ratio = doubled17(1)"
        }'
} >"$work/wide.wleaf"
"$program" why --json "$work/wide.wleaf" asked wide >"$work/out"
expect 'behind 600 parts none is taken apart' "$(jq -r '[.figures | .. | objects | select(has("with-numbers"))]
    | "\(length) \(.[] | select(.figure == "s16") | .end) \(.[-1].figure) \(.[-1].end)"' "$work/out")" '638 made s17 deeper'
expect 'what is made of more than can be followed' "$("$program" why "$work/wide.wleaf" asked long-winded)" \
    'long-winded is 131072, made of more than can be followed: ask for one of its parts.'

# ---- the numbers beside the words; what is no number has none ----

values() { "$program" why --json $asked asked "$1" | jq -c '[.figures[].value]'; }
expect 'values of numbers: in base units, and none where it is not told' "$(values laid-under)" '[null,2]'
expect 'values of what is no number' "$(values laid-on)" '[null,null]'
counted why-asked
