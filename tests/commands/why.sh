#!/bin/sh
# why: figures of the examples and of words in their golden texts; what it says of rules, claims and messages. Usage: tests/commands/why.sh [PROGRAM]
# With WATERLEAF_UPDATE the golden texts are written anew.

. "$(dirname "$0")/../script.sh"
program=${1:-$root/build/waterleaf}
cd "$root" || exit 2
. tests/golden/why/golden.sh

# ---- in words ----

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
