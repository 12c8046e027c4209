#!/bin/sh
# The HTML of the examples, looked at by validators: nothing wrong, nothing to warn of, each id once, nothing from outside, the same
# bytes everywhere. (In a browser: tests/browser.) Usage: tests/pages/html.sh [PROGRAM]

. "$(dirname "$0")/../script.sh"
program=${1:-$root/build/waterleaf}
made=$root/build/tests/pages/made

# FILE NAME
look() {
    expect "what tidy says of $2" "$(tidy -q -e --drop-empty-elements no "$1" 2>&1 | head -n 5)" ""
    # (libxml2 knows the tags of HTML 4 alone)
    expect "what libxml2 says of $2" "$(xmllint --html --noout "$1" 2>&1 | grep 'error :' | grep -vE 'Tag (main|section|article|figure|figcaption|svg|path|rect|desc|text) invalid|Unexpected end tag : (desc|text)' | head -n 5)" ""
    expect "ids of $2 that are there twice" "$(grep -oE ' id="[^"]*"' "$1" | sort | uniq -d)" ""
    expect "what $2 takes from outside" "$(grep -oE '(src|href)="[^d#][^"]{0,40}|url\([^)]{0,40}|@import|https?://[^ "<]{0,40}' "$1" | head -n 3)" ""
    expect "language of $2" "$(grep -c '<html lang="en-GB">' "$1")" 1
    if iconv -f UTF-8 -t UTF-8 "$1" >/dev/null 2>&1; then good; else bad "$2 is no UTF-8"; fi
}

tidy --version >/dev/null 2>&1 || bad "tidy is not installed"
count=0
for script in "$root"/examples/*.wleaf; do
    for document in batch-sheet labels chemical-labels spec-sheet; do
        "$program" write $document "$script" --as html >"$work/page.html" 2>"$work/err" </dev/null || continue
        count=$((count + 1))
        look "$work/page.html" "$(basename "$script"), $document"
        (TZ=Pacific/Auckland LC_ALL=tr_TR.UTF-8 LANG=de_DE HOME=$work && export TZ LC_ALL LANG HOME && cd / && "$program" write $document "$script" --as html 2>/dev/null) >"$work/again.html"
        if cmp -s "$work/page.html" "$work/again.html"; then good; else bad "$script, $document: other bytes in another time zone, locale, home and folder"; fi
    done
done
if [ $count -ge 12 ]; then good; else bad "only $count documents are written"; fi
"$made" html a4 <"$root/tests/pages/pictures.txt" >"$work/page.html"
look "$work/page.html" "pictures"
long=$(awk 'BEGIN { for (i = 0; i < 10000; i++) printf "m" }')
for name in '<&"{}()\>' 'נייר ورق' '</style></svg><script>alert(1)</script>' "' onload='x" "$long"; do
    printf '%s\n' "part|0||$name|$name" "heading|0|1|$name" "picture|0|$name|$name||10 10" "shape|0|words|$name||1 1 9" end "code|0|$name|$name" "table|0||$name" 'head|0' "cell|0||$name" end end \
        'labels|0||||100 60 1 1 0 0 100 60 100 60 5 1' "label|0||$name" "pairs|0" "pair|0|$name|$name" end end end end | "$made" html a4 >"$work/page.html"
    look "$work/page.html" "$(printf '%.40s' "$name")"
    expect "programs in $(printf '%.40s' "$name")" "$(grep -ciE '<script|" *onload' "$work/page.html")" 0
done
printf '<!DOCTYPE html><html lang="en-GB"><title>x</title><p id="a"><p id="a"><b>' >"$work/page.html"
expect "what is wrong is seen" "$(tidy -q -e --drop-empty-elements no "$work/page.html" 2>&1 | grep -c Warning | awk '{ print ($1 > 0) }')" 1

counted html
