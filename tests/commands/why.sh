#!/bin/sh
# why: figures in their golden words; what it says of rules, claims and messages. Usage: tests/commands/why.sh [PROGRAM]
# With WATERLEAF_UPDATE the golden texts are written anew.

. "$(dirname "$0")/../script.sh"
program=${1:-$root/build/waterleaf}
cd "$root" || exit 2

# ---- in words ----

# GOLDEN FILE NAME FIGURE [OPTION ...]
golden() {
    file=tests/golden/why/$1.txt
    shift
    # where a line of stdlib stands changes with each edit of stdlib, and says nothing about why
    "$program" why "$@" 2>&1 | sed 's/\(stdlib[^ ]*, line\) [0-9]*/\1 N/' >"$work/out"
    if [ -n "$WATERLEAF_UPDATE" ]; then cp "$work/out" "$file"; fi
    if cmp -s "$work/out" "$file"; then good; else
        bad "why $*: not as in $file"
        diff "$file" "$work/out" | head -n 12
    fi
}
batch="examples/botanical.wleaf BR-047"
words="tests/golden/why/words.wleaf W"
# shellcheck disable=SC2086
{
    golden alkaline-reserve $batch alkaline-reserve
    golden finished-grammage $batch finished-grammage
    golden fibre-charge $batch fibre-charge
    golden sheets-formed $batch sheets-formed
    golden sheets-per-top-up $batch sheets-per-top-up
    golden liquor-volume $batch liquor-volume
    golden weigh-out $batch "weigh-out of chalk"
    golden thickness $batch thickness
    golden precharge $batch "precharge of akd-emulsion"
    golden reconciled $batch reconciled
    golden sheets-good $batch sheets-good
    golden parcels $batch parcels
    golden loads $batch "loads of linen-rag"
    golden several-lines $batch water-dried --depth 1
    golden formula-alone $batch alkaline-reserve --depth 1
    golden not-in-the-table examples/kozo-tissue.wleaf KT-8 thickness --depth 2
    golden no-mill examples/first.wleaf sketch depletion
    golden measured tests/golden/flow/measured.wleaf measured fibre-per-sheet
    golden words-written $words written
    golden words-chosen $words chosen
    golden words-called $words called
    golden words-charged $words charged --depth 1
    golden words-chained $words chained --depth 2
    golden words-narrowed $words narrowed --depth 1
    golden words-alone $words alone --depth 1
    golden words-dotted $words dotted
    golden words-unsure $words unsure
    golden words-lacking $words lacking
    golden words-spanned $words spanned --depth 2
    golden words-all-of-it $words all-of-it --depth 2
    golden words-added $words added --depth 2
    golden words-there $words there --depth 2
    golden words-there-too $words there-too --depth 2
    golden no-such-figure $batch alkaline-reserv
    golden no-such-step $batch jug
    golden no-such-material $batch "weigh-out of chalc"
}

# ---- what the steps of one paper changed, from the first to the last ----

traced=tests/golden/flow/traced.wleaf
golden joined-in-turn "$traced" traced stuff-fibre
golden set-again "$traced" traced "hue-then of set-hue"
golden no-water "$traced" traced water-then
golden mean-of-streams tests/golden/flow/held.wleaf held joined-hue
golden one-after-another tests/golden/flow/traced-again.wleaf "traced again" stuff-fibre
golden never-told tests/golden/flow/traced-again.wleaf "traced again" told-of-third
golden as-it-began tests/golden/flow/traced-again.wleaf "traced again" "shade-then of pour rest"

# ---- what is made of more than can be followed: 300 times 300 products ----

{
    cat "$traced"
    echo 'reckon much as ratio = sum(sum(p.number * q.number, each q from numbers(300)), each p from numbers(300))'
} >"$work/much.wleaf"
"$program" why "$work/much.wleaf" traced much >"$work/out" 2>&1
expect 'too much is not followed' "$(cat "$work/out")" 'much is 2038522500, made of more than can be followed: ask for one of its parts.'
# ---- of scripts of their own, in which each number is worked out by hand ----

# SCRIPT FILE NAME FIGURE [OPTION ...]
own() {
    script=$1 file=$2
    shift 2
    golden "$file" "tests/golden/why/$script" "$@"
}
own effects.wleaf effects-dry effects dry-of-sheet
own effects.wleaf effects-hue effects hue-of-sheet
own effects.wleaf effects-puddle effects puddle-of-sheet
own effects.wleaf effects-stays effects will-stay
own effects.wleaf effects-long effects "weigh-out of long"
own effects.wleaf effects-white effects "weigh-out of white"
own effects.wleaf effects-wax effects "weigh-out of wax"
own effects.wleaf poured-hue poured hue-of-sheet
own effects.wleaf poured-puddle poured puddle-of-sheet
own effects.wleaf poured-least poured least-there
own effects.wleaf poured-sourness poured sourness
own ledger.wleaf ledger-in ledger all-in
own ledger.wleaf ledger-out ledger all-out
own ledger.wleaf ledger-water ledger water-in-all
own ledger.wleaf ledger-entries ledger "entry of short"
own ledger.wleaf ledger-stays ledger will-stay
own ledger.wleaf ledger-dear ledger "weigh-out of dear"
own ledger.wleaf added-white ledger "added of white"
own ledger.wleaf added-cut ledger "added of white" --depth 2
own ledger.wleaf added-wax ledger "added of wax"
own ledger.wleaf stays-ink ledger "stays of ink"
own ledger.wleaf stays-wax ledger "stays of wax"
own ledger.wleaf dosed-white ledger "dosed of white"
own ledger.wleaf stays-dear ledger "stays of dear"
own ledger.wleaf added-dear ledger "added of dear"
own ledger.wleaf beside-white ledger "beside of white"
own ledger.wleaf of-wax ledger of-wax
own effects.wleaf left-over effects left-over
own ends.wleaf at-row ends at-row
own ends.wleaf beside-row ends beside-row
own ends.wleaf in-between ends in-between
own ends.wleaf not-a-row ends thickness
own ends.wleaf since-start ends since-start
own ends.wleaf no-start Ends since-start
own ends.wleaf twice-formed ends twice-formed
own ends.wleaf ends-charge ends fibre-charge
own ends.wleaf half-of-them ends half-of-them
own ends.wleaf no-batch Ends sheets-formed
own states.wleaf state-begins States wet-before
own states.wleaf state-set States wet-behind
own states.wleaf state-joined States wet-stuff
own states.wleaf which-material States which
own states.wleaf laid-on States whole-sheet
own states.wleaf laid-on-one States "weigh-out of wax"
own states.wleaf entered-wax States "entered of wax"
own too-many.wleaf too-many "Too many" sheets-formed

# ---- as deep as was asked for ----

# What is wrong with the documents of why at the depths 1, 2 and so on, given the whole: one line each.
cat >"$work/depths.jq" <<'JQ'
def parts($depth; $path): ($path + "/" + .figure) as $here
    | {$here, $depth, ends: .["end"], count: (.parts | length)}, (.parts[] | parts($depth + 1; $here));
[$whole[0].figures[] | parts(1; "")] as $all
| to_entries[] | (.key + 1) as $most | [.value.figures[] | parts(1; "")] as $found | ([$found[] | select(.count > 0) | .here] | unique) as $opened
| ($found[] | select(.depth > $most) | "too deep for \($most): \(.here)"),
  ($found[] | select(.ends == "deeper" and .depth < $most) | "at \($most), cut at \(.depth): \(.here)"),
  (([$all[] | {key: .here, value: .ends}] | group_by(.key) | map({key: .[0].key, value: map(.value)}) | from_entries) as $ends
    | $found[] | select(.ends != "deeper" and $ends[.here] != null) | select(.ends as $one | $ends[.here] | index($one) or index("above") | not)
    | "at \($most), \(.ends): \(.here)"),
  ([$found[].here] as $there | $all[] | select(.ends != "above" and .depth <= $most) | .here
    | select(. as $one | $there | index($one) | not) | "at \($most), left out: \(.)"),
  ($all[] | select(.count > 0 and .depth < $most) | .here | select(. as $one | $opened | index($one) | not) | "at \($most), left out: \(.)")
JQ

# depths FILE NAME FIGURE
depths() {
    "$program" why --json "$@" >"$work/whole"
    for depth in 1 2 3 4 5 6 7 8 9 10 11; do "$program" why --json "$@" --depth $depth; done >"$work/found"
    jq -s -r --slurpfile whole "$work/whole" -f "$work/depths.jq" "$work/found" >"$work/judged" 2>&1 || echo "jq: $?" >>"$work/judged"
    if [ -s "$work/judged" ] || [ ! -s "$work/found" ]; then bad "why $* at all depths: $(head -n 3 "$work/judged")"; else good; fi
}
depths tests/golden/why/ledger.wleaf ledger reconciled
depths tests/golden/why/ledger.wleaf ledger will-stay
depths tests/golden/why/ledger.wleaf ledger "entry of short"
depths tests/golden/why/effects.wleaf effects will-stay
depths tests/golden/why/ledger.wleaf ledger "added of dear"
depths tests/golden/why/ends.wleaf ends thickness
depths tests/golden/why/ends.wleaf ends in-between
depths tests/golden/why/ends.wleaf ends fibre-per-sheet
depths tests/golden/why/states.wleaf States wet-stuff
depths tests/golden/why/effects.wleaf effects dry-of-sheet
depths tests/golden/why/effects.wleaf effects puddle-of-sheet
depths tests/golden/why/effects.wleaf effects "weigh-out of wax"
depths tests/golden/why/effects.wleaf poured least-there

# ---- whether something of it is there ----

for material in dear white; do "$program" why --json tests/golden/why/ledger.wleaf ledger "weigh-out of $material"; done >"$work/found"
expect 'a bill of nothing, and one of something' "$(jq -s -c 'map(.figures[0].parts[0].end)' "$work/found")" '["nothing","made"]'

# ---- in a library of its own: how many sheets a parcel holds stands there as a number, or nowhere ----

cp -r stdlib "$work/library"
parcels_of() {
    sed "s/^parcels .*/$1/" stdlib/solve.wleaf >"$work/library/solve.wleaf"
    "$program" why --stdlib "$work/library" tests/golden/why/ends.wleaf ends parcels | sed 's/ ([^()]*)\.$/./' | tail -n +2
}
expect 'parcels at most, as a number' "$(parcels_of 'parcels at most 4 sheets')" '  parcels at most is 4 sheets, from stdlib.'
expect 'parcels at most, not told' "$(parcels_of '')" ''
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
    for figure in "$@"; do "$program" why "$script" "$name" "$figure" 2>&1; done |
        sed 's/\(stdlib[^ ]*, line\) [0-9]*/\1 N/' >"$work/out"
    compare_with_golden "why $name $*"
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
    compare_with_golden "why --json $name $*"
}
compare_with_golden() {
    if [ -n "$WATERLEAF_UPDATE" ]; then cp "$work/out" "$file"; fi
    if cmp -s "$work/out" "$file"; then good; else
        bad "$1: not as in $file"
        diff "$file" "$work/out" | head -n 12
    fi
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
    "$program" why "$2" "$named" "$figure" ${depth:+--depth "$depth"} 2>&1 | sed 's/\(stdlib[^ ]*, line\) [0-9]*/\1 N/'
}
answers() {
    sed -n 's/^#? //p' "$1" | while IFS= read -r question; do
        printf '? %s\n' "$question"
        answer "$question" "$1"
        echo
    done >"$work/out"
    if [ -n "$WATERLEAF_UPDATE" ]; then cp "$work/out" "${1%.wleaf}.txt"; fi
    if cmp -s "$work/out" "${1%.wleaf}.txt"; then good; else
        bad "the questions in $1 are not answered as in ${1%.wleaf}.txt"
        diff "${1%.wleaf}.txt" "$work/out" | head -n 12
    fi
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

# ---- the example of a rule or claim, its blocks whole ----

"$program" why designed-permanent | sed -n '/^Granted with these:$/,$p' >"$work/out"
expect 'an example with blocks' "$(sed 1,2d "$work/out" | head -c 58 | tr '\n' '|')" "    furnish:|      cotton-linters  75 %|      old-canvas  "
expect 'its blocks, and their ends' "$(grep -cE '^    (furnish|material old-canvas):$' "$work/out") $(grep -c '^    end$' "$work/out") $(grep -c 'kappa  2  measured' "$work/out")" '2 2 1'
"$program" why designed-permanent >/dev/full 2>"$work/err"
expect 'a full disk is told as it is' "$? $(grep -c 'There is no message' "$work/err")" '2 0'

# ---- of a message: what it found is left open ----

"$program" why number-without-unit >"$work/out" 2>&1
expect 'a message is told without the marks of its gaps' "$(sed -n 3p "$work/out")" \
    'The number … has no unit, where … is wanted. Write …, or with another unit of its kind.'

# ---- of a claim: with which lines it is granted, and with which it is not ----

"$program" why acid-free >"$work/out" 2>&1
expect 'the lines with which a claim is refused' "$(sed -n '/^Refused with these lines, in an invented script:$/,/^Granted/p' "$work/out" | grep -c 'hardened with aluminium-sulphate')" 1
expect 'the lines with which it is granted' "$(sed -n '/^Granted with these:$/,$p' "$work/out" | grep -c 'claims *acid-free')" 1
counted why
