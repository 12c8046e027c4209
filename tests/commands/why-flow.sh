#!/bin/sh
# why: what became of fibre, doses and attributes on their way through the steps, to any depth. Usage: tests/commands/why-flow.sh [PROGRAM]
# With WATERLEAF_UPDATE the golden texts are written anew.

. "$(dirname "$0")/../script.sh"
program=${1:-$root/build/waterleaf}
cd "$root" || exit 2
. tests/golden/why/golden.sh

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
counted why-flow
