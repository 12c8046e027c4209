#!/bin/sh
# Speed of the pages, as ratios in one run: a batch sheet as PDF against a typesetter that is given the same words, and
# against one that sets our own HTML; a thousand labels. Part of bench.sh, which gives it its functions: sourced, not run.

printf '\n%-46s %14s %14s %10s %8s\n' 'pages' ours other ratio 'at most'
sheet='write batch-sheet examples/botanical.wleaf BR-047'
$program $sheet --as text -o "$work/sheet.txt" || give_up 'no batch sheet'
$program $sheet --as html -o "$work/sheet.html" || give_up 'no batch sheet'
# The same words, lines kept, set in pages.
{
    echo .nf
    sed 's/\f/.bp\n/g; s/\\/\\e/g; s/^\([.'"'"']\)/\\\&\1/' "$work/sheet.txt"
} >"$work/sheet.roff"
compare 'batch sheet as PDF, against groff -Tpdf' "$program $sheet --as pdf --unproofed" "groff -Kutf8 -Tpdf $work/sheet.roff" 1 3
compare 'the same, proof-read' "$program $sheet --as pdf" "groff -Kutf8 -Tpdf $work/sheet.roff" - 1
compare 'batch sheet as PDF, against weasyprint' "$program $sheet --as pdf --unproofed" "weasyprint $work/sheet.html $work/other.pdf" 0.05 1
# A thousand packs, of 25 sheets each.
sed 's/^batch "BR-047":/&\n  good 25000 sheets/' examples/botanical.wleaf >"$work/packs.wleaf"
mkdir -p "$work/mills" && cp examples/mills/* "$work/mills/"
[ "$($program write labels "$work/packs.wleaf" BR-047 --as text | grep -c 'sheets, pack')" -eq 1000 ] || give_up 'these are not a thousand labels'
compare 'a thousand labels as PDF, against one' "$program write labels $work/packs.wleaf BR-047 --as pdf --unproofed" \
    "$program write labels examples/botanical.wleaf BR-047 --as pdf --unproofed" - 1
