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

# ---- what is made of more than can be followed: 300 times 300 products ----

{
    cat "$traced"
    echo 'reckon much as ratio = sum(sum(p.number * q.number, each q from numbers(300)), each p from numbers(300))'
} >"$work/much.wleaf"
"$program" why "$work/much.wleaf" traced much >"$work/out" 2>&1
expect 'too much is not followed' "$(cat "$work/out")" 'much is 2038522500, made of more than can be followed: ask for one of its parts.'
# ---- of scripts of their own, in which each number is worked out by hand ----

own() {
    script=$1
    shift
    golden "$1" "tests/golden/why/$script" "$2" "$3" $4
}
own effects.wleaf effects-dry effects dry-of-sheet
own effects.wleaf effects-hue effects hue-of-sheet
own effects.wleaf effects-puddle effects puddle-of-sheet
own effects.wleaf effects-long effects "weigh-out of long"
own effects.wleaf effects-white effects "weigh-out of white"
own effects.wleaf effects-wax effects "weigh-out of wax"
own effects.wleaf poured-hue poured hue-of-sheet
own effects.wleaf poured-puddle poured puddle-of-sheet
own effects.wleaf poured-least poured least-there
own effects.wleaf poured-sourness poured sourness

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
