#!/bin/sh
# why: formulas of every shape, in words and as JSON, and how many of their parts are told. Usage: tests/commands/why-formulas.sh [PROGRAM]
# With WATERLEAF_UPDATE the golden texts are written anew.

. "$(dirname "$0")/../script.sh"
program=${1:-$root/build/waterleaf}
cd "$root" || exit 2
. tests/golden/why/golden.sh

# ---- formulas of every shape: each number is worked out beside its line in the script ----

cat >"$work/parts.jq" <<'JQ'
def parts($in): "\($in)\(.figure) | \(.shown) | \(.value) | \(.end) | \(if (.file // "stdlib") | test("^stdlib") then .file else "line \(.line)" end) | \(.source) \(.marks | join(" "))",
    (.parts[] | parts($in + "  "));
.figures[] | parts("")
JQ

# reasons FILE NAME FIGURE ...: all of $script in one text; parts_of: what JSON has beside the words, so many parts deep
script=tests/golden/flow/reasons.wleaf
reasons() {
    file=tests/golden/why/$1.txt name=$2
    shift 2
    for figure in "$@"; do told "$script" "$name" "$figure"; done >"$work/out"
    held "why $name $*" "$file"
}
parts_of() {
    file=tests/golden/why/$1.txt name=$2 depths=$3
    shift 3
    for figure in "$@"; do
        for depth in $depths; do
            echo "to depth $depth:"
            "$program" why --json --depth "$depth" "$script" "$name" "$figure" 2>&1 | jq -r -f "$work/parts.jq"
        done
    done >"$work/out"
    held "why --json $name $*" "$file"
}
reasons reasons-told reasons small-ones own-heat own-pull own-wetness never spare-lifts doors-and-rooms kappa-of-all lignin-of-all not-known moist pull-at-most sheet-aim sum-aim rooms-aim of-both of-three of-six
reasons reasons-sets reasons turns-in-all turns-and-more turns-most turns-least turns-times turns-counted turns-none turns-off asides parcel-numbers turned-by
reasons reasons-steps two water-there spread-there softness-there stuff-water dusted undusted dust-most
reasons reasons-sheet two finished-grammage thickness will-draw reconciled spread-of-sheet
parts_of reasons-parts reasons 24 turns-in-all turns-counted turns-none never doors-and-rooms own-wetness finished-grammage pull-at-most
parts_of reasons-choices reasons '2 3 4 24' small-ones turns-least moist
parts_of reasons-depths two '1 2 3 4 5 6' thickness reconciled
script=tests/golden/flow/reasons-of-additions.wleaf
reasons additions-held gum gum-dose gum-mass gum-stays gum-usually gum-met fibre-charged staying dust-left mould-weighs
reasons additions-steps gum rolls-in-all rolled-by rolled-first more-rolls step-of-fibre gauged-again gauged-both across-twice parcel-extra "of-each of parcel 1" "scoops of big" scoops-of-big scoops-of-lost
reasons additions-varied gum wanted-and-more
reasons additions-first of-gum wanted-and-more
parts_of additions-parts gum '2 3 24' gum-mass rolls-in-all more-rolls rolled-first parcel-extra step-of-fibre dust-left

# Many: a figure 30 formulas deep is told 24 deep; one of 600 parts ends there, here at the 24th sum; of a formula 200 parts are told, of a sum
# 400 terms, and of more not the first of them, but that there are more.
awk 'function row(from, to, before, i, all) { for (i = from; i <= to; i++) all = all (i > from ? " + " : "") before i; return all }
    /^paper of-reasons:/ {
        print "let deep-1 as ratio = 0 + 1"
        for (i = 2; i <= 30; i++) print "let deep-" i " as ratio = deep-" i - 1 " + 1"
        for (i = 1; i <= 201; i++) print "let one-" i " as ratio = " i
        for (i = 1; i <= 25; i++) print "let sum-" i " as ratio = " row(1, 25, "one-")
        print "table rows-of-many:\n  columns  which as ratio, twice as ratio"
        for (i = 1; i <= 401; i++) print "  row  " i "  " 2 * i
        print "end"
        print "reckon deep as ratio = deep-30 + 1"
        print "reckon broad as ratio = " row(1, 200, "one-")
        print "reckon broader as ratio = " row(1, 201, "one-")
        print "reckon crowded as ratio = " row(1, 25, "sum-")
        print "reckon rows as ratio = sum(r.twice + r.which, each r from rows-of-many when r.which < 401)"
        print "reckon more-rows as ratio = sum(r.twice + r.which, each r from rows-of-many)"
    }
    { print }' tests/golden/flow/reasons.wleaf >"$work/many.wleaf"
of_many() { "$program" why "$work/many.wleaf" reasons "$1" 2>&1 | sed 's/ (.*//'; }
of_many deep >"$work/out"
expect 'as deep as it is told' "$(grep -c ' is ' "$work/out") $(tail -n 3 "$work/out" | tr -d '\n' | tr -s ' ')" '24  deep-8 is 8: = deep-7 + 1 = 7 + 1'
of_many broad >"$work/out"
expect 'each part of a formula' "$(grep -c '^  one-[0-9]* is [0-9]*, typed' "$work/out") $(tail -n 1 "$work/out")" '200   one-200 is 200, typed'
of_many crowded >"$work/out"
expect 'as many parts as are told' "$(grep -c ' is ' "$work/out") $(tail -n 4 "$work/out" | tr -d '\n' | tr -s ' ')" '601  one-24 is 24, as above. one-25 is 25, as above. sum-24 is 325. sum-25 is 325.'
of_many rows >"$work/out"
expect 'each term of a sum' "$(grep -c '^  that of ' "$work/out") $(grep -o '= 3 + 6 + 9 ' "$work/out")" '400 = 3 + 6 + 9 '
of_many broader >"$work/out"
expect 'more parts than are told' "$(head -n 1 "$work/out") $(grep -c ' is ' "$work/out")" 'broader is 20301, made of 201 values, too many to be told one by one: 1'
of_many more-rows >"$work/out"
expect 'more terms than are told' "$(cat "$work/out")" 'more-rows is 241803, made of 401 values, too many to be told one by one:
  = sum(r.twice + r.which, each r from rows-of-many)'
expect 'they go on deeper' "$("$program" why --json "$work/many.wleaf" reasons broader | jq -r '.figures[0].end')" deeper
counted why-formulas
