#!/bin/sh
# A spec sheet is one page, at A4 and at Letter, of every example. Usage: tests/pages/spec-sheet.sh [PROGRAM]

cd "$(dirname "$0")/../.." || exit 2
program=${1:-build/waterleaf}
work=$(mktemp -d) || exit 2
trap 'rm -rf "$work"' EXIT
trap 'exit 2' INT TERM HUP
passed=0
failed=0
for file in examples/*.wleaf; do
    for page in a4 letter; do
        "$program" write spec-sheet "$file" --page $page -o "$work/sheet.pdf" 2>"$work/said"
        works=$("$program" write spec-sheet "$file" --as html 2>/dev/null | grep -c '<section ')
        pages=$(pdfinfo "$work/sheet.pdf" 2>/dev/null | awk '/^Pages:/ { print $2 }')
        if [ "$works" -ge 1 ] && [ "$pages" = "$works" ]; then passed=$((passed + 1)); else
            failed=$((failed + 1))
            echo "  $file, $page: $pages pages of $works sheets: $(head -n 2 "$work/said")"
        fi
    done
done
echo "spec-sheet: $passed passed, $failed failed"
[ $failed -eq 0 ]
