#!/bin/sh
# Batch sheets of all examples, judged by programs that know nothing of ours: libxml2 reads the HTML and finds no
# tag left open, what is read from it holds every amount of the plain text, jq reads the JSON, and a
# second run elsewhere, on another day and in another language gives the same bytes. Usage: tests/outside/sheets.sh [PROGRAM]

here=$(cd "$(dirname "$0")" && pwd) || exit 2
root=$(cd "$here/../.." && pwd) || exit 2
program=${1:-$root/build/waterleaf}
for needed in xmllint jq; do
    command -v "$needed" >/dev/null 2>&1 || {
        echo "sheets.sh: $needed is not installed (Debian packages: libxml2-utils, jq)" >&2
        exit 2
    }
done
work=$(mktemp -d) || exit 2
trap 'rm -rf "$work"' EXIT
trap 'exit 2' INT TERM HUP
: >"$work/failures"
wrong() { echo "$1" >>"$work/failures"; }

cd "$root" || exit 2
sheets=0
for script in examples/*.wleaf; do
    name=${script##*/}
    for page in a4 letter; do
        "$program" write batch-sheet "$script" --page $page -o "$work/sheet.html" || wrong "$name: no HTML"
        # libxml2 knows the tags of HTML 4 only; everything else that it says counts.
        xmllint --html --noout "$work/sheet.html" 2>&1 | grep ': HTML parser error' | grep -v -E 'Tag (section|main|figure|figcaption|svg|path|desc|rect|polyline|line|pattern|defs|text|g) invalid' >"$work/said"
        [ -s "$work/said" ] && wrong "$name, $page: $(head -n 1 "$work/said")"
    done
    "$program" write batch-sheet "$script" >"$work/sheet.txt" || wrong "$name: no text"

    # Every number with its unit in the text can be read in the HTML as well.
    xmllint --html --xpath 'string(//main)' "$work/sheet.html" 2>/dev/null | sed 's/\xC2\xA0/ /g' | tr -s ' \n' '  ' >"$work/read"
    grep -o -E '[0-9]+(\.[0-9]+)? (g|kg|L|mm|°C|°SR|g/m²|µm|mol/kg)' "$work/sheet.txt" | sort -u >"$work/amounts"
    [ "$(wc -l <"$work/amounts")" -gt 20 ] || wrong "$name: hardly an amount in the text"
    while read -r amount; do
        grep -q -F -- "$amount" "$work/read" || wrong "$name: $amount stands in the text but not in the HTML"
    done <"$work/amounts"
    LC_ALL=C.UTF-8 grep -n -E '^.{97}' "$work/sheet.txt" | grep -v "$(printf '\f')" | sed "s/^/$name: a line of more than 96 signs: /" >>"$work/failures"

    # Another place, day zone and language: the same bytes.
    mkdir -p "$work/elsewhere"
    (cd "$work/elsewhere" && TZ=Pacific/Auckland LC_ALL=de_DE.UTF-8 "$program" write batch-sheet "$root/$script" --page letter --as html >"$work/again.html")
    cmp -s "$work/sheet.html" "$work/again.html" || wrong "$name: written elsewhere, the HTML is another"

    "$program" weigh "$script" --json >"$work/json" || wrong "$name: no JSON"
    [ "$(jq -r '[.papers[] | (.weigh | length > 1) and (.steps | length > 3)] | all' "$work/json" 2>&1)" = true ] ||
        wrong "$name: jq does not find what to weigh and to do in the JSON"
    sheets=$((sheets + 1))
done
[ "$sheets" -gt 3 ] || wrong "only $sheets examples were written"

if [ -s "$work/failures" ]; then
    cat "$work/failures"
    exit 1
fi
echo "sheets: those of $sheets examples are sound"
