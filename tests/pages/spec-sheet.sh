#!/bin/sh
# A spec sheet is one page, at A4 and at Letter, of every example. Usage: tests/pages/spec-sheet.sh [PROGRAM]

. "$(dirname "$0")/../script.sh"
cd "$root" || exit 2
program=${1:-build/waterleaf}
for file in examples/*.wleaf; do
    for page in a4 letter; do
        "$program" write spec-sheet "$file" --page $page -o "$work/sheet.pdf" 2>"$work/said"
        works=$("$program" write spec-sheet "$file" --as html 2>/dev/null | grep -c '<section ')
        pages=$(pdfinfo "$work/sheet.pdf" 2>/dev/null | awk '/^Pages:/ { print $2 }')
        if [ "$works" -ge 1 ] && [ "$pages" = "$works" ]; then good; else
            bad "$file, $page: $pages pages of $works sheets: $(head -n 2 "$work/said")"
        fi
    done
done
counted spec-sheet
