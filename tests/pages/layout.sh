#!/bin/sh
# How pages are laid out, with documents made for it: nothing that holds together is parted, heads are repeated, there is
# room for a pencil, and codes are read by a device. Usage: tests/pages/layout.sh [PAGES-PROGRAM]

. "$(dirname "$0")/../script.sh"
program=${1:-$root/build/tests/waterleaf-pages}
quiet=$root/build/tests/pages/quiet

unset ASAN_OPTIONS # tests/pages/options.c says what is watched
: >"$work/unset"

# Sets what stands on standard input, which are nodes as FORM|MARKS|LABEL|TEXT|HINT|NUMBERS (a heading's level in its label): SIZE.
set_pages() {
    awk -F'|' -v OFS='\t' -v size="$1" '
        BEGIN { print "waterleaf-pages 2\nas pdf\npage " size; print "root", 0, 0, "", "Pages", "", ""; print "part", 0, 0, "", "these pages", "small", "" }
        $1 == "end" { print; next }
        { print $1, $1 == "heading" ? $3 : 0, $2 + 0, $1 == "heading" ? "" : $3, $4, $5, $6 }
        END { print "end\nend" }' | "$program" >"$work/pages.pdf" 2>"$work/err" || head -c 300 "$work/err" >>"$work/unset"
    qpdf --check "$work/pages.pdf" >"$work/said" 2>&1 || tail -n 2 "$work/said" >>"$work/unset"
    pdftotext -layout "$work/pages.pdf" "$work/pages.txt"
}

# Prints NUMBER-OF-PAGE WORD for each word of the pages that matches a pattern.
on_pages() { awk -v pattern="$1" 'BEGIN { RS = "\f" } { text = $0; while (match(text, pattern)) { print NR, substr(text, RSTART, RLENGTH); text = substr(text, RSTART + RLENGTH) } }' "$work/pages.txt"; }

# The pages with nothing compressed; and what is drawn in them for readers that see it as a picture.
plain() { qpdf --qdf --object-streams=disable "$work/pages.pdf" "$work/plain.pdf"; }
figures() { LC_ALL=C awk '/BDC$/ { inside = /\/Figure/ } /^EMC/ { inside = 0 } inside { printf "%s ", $0 }' "$work/plain.pdf"; }

# ---- rows stay whole, heads are repeated ----

rows() {
    awk -v rows="$1" -v fields="$2" 'BEGIN {
        print "heading|0|1|A table"; print "table|0||Many rows"; print "head|0"; print "cell|0||the head"; print "cell|1||amount"; print "cell|4||blank"; print "end"
        for (i = 1; i <= rows; i++) {
            print "row|0"; print "cell|2||begin" i "x and further words that take a second line in a column that is not wide, end" i "x"; print "cell|1||" i " kg"; print "cell|4||"
            if (fields) { print "fields|32"; print "field|0|below" i "x|"; print "field|0|lot|"; print "end" }
            print "end"
        }
        print "end" }'
}
for size in a4 letter; do
    for fields in 0 1; do
        for count in 1 2 3 7 8 9 10 11 12 13 14 15 16 17 18 19 20 21 22 23 24 25 33 61 200; do
            rows $count $fields | set_pages $size
            on_pages '(begin|end|below)[0-9]+x' | sed 's/\(begin\|end\|below\)//' | sort -u >"$work/rows"
            expect "$count rows on $size ($fields): rows, each on one page" "$(wc -l <"$work/rows")" "$count"
            with=$(cut -d' ' -f1 "$work/rows" | sort -u | wc -l)
            expect "$count rows on $size ($fields): heads" "$(grep -c 'the head' "$work/pages.txt")" "$with"
            expect "$count rows on $size ($fields): continued" "$(grep -c 'Many rows, continued' "$work/pages.txt")" "$((with - 1))"
        done
    done
done

# ---- what is kept together, and headings ----

for lines in 1 2 3 4 5 6 7 8 9 10 11 12; do
    awk -v lines=$lines 'BEGIN { for (i = 1; i <= 40; i++) {
        print "heading|0|2|head" i "x"; print "keep|0"; print "caution|0|danger|mind" i "x and a few words that are to make it longer than a line is wide, so that it takes two of them|gloves"
        print "tick|0|" i "|name" i "x|do" i "x"
        for (j = 0; j < (i * lines) % 9; j++) print "paragraph|0||A line of a step."
        print "fields|0"; print "field|0|read" i "x|10 to 12 %"; print "end"
        print "hold|0|HOLD|stop" i "x"; print "field|64|sign" i "x|"; print "end"; print "end"
        print "paragraph|0||after" i "x" } }' | set_pages a4
    on_pages '(head|mind|name|do|read|stop|sign)[0-9]+x' | sed 's/[a-z]*\([0-9]*\)x/\1/' | sort -u >"$work/steps"
    expect "steps with $lines, each on one page with its heading" "$(wc -l <"$work/steps")" 40
done
awk 'BEGIN { print "keep|0"; for (i = 1; i <= 150; i++) print "paragraph|0||line" i "x"; print "end" }' | set_pages a4
expect "lines of what is longer than a page" "$(on_pages 'line[0-9]+x' | wc -l)" 150
awk 'BEGIN { for (i = 1; i <= 9000; i++) printf "%s", (i == 1 ? "paragraph|0||" : " ") "w" i "x"; print "" }' | set_pages a4
expect "words of a paragraph longer than pages" "$(on_pages 'w[0-9]+x' | awk '{ print $2 }' | sort -u | wc -l)" 9000
awk 'BEGIN { print "table|0||Long"; print "head|0"; print "cell|0||the head"; print "end"; print "row|0"; for (i = 1; i <= 3000; i++) printf "%s", (i == 1 ? "cell|0||" : " ") "w" i "x"; print "\nend\nend" }' | set_pages letter
expect "words of a row longer than pages" "$(on_pages 'w[0-9]+x' | awk '{ print $2 }' | sort -u | wc -l)" 3000
for alone in 'table|0||Empty' 'fields|32' 'fields|0' 'pairs|0' 'list|0' 'keep|0' 'hold|0|HOLD|Empty'; do
    printf '%s\nend\n' "$alone" | set_pages a4
done

# ---- amounts stay whole ----

awk 'BEGIN { for (w = 1; w <= 60; w++) { printf "paragraph|0||"; for (i = 1; i <= 60; i++) printf "%s%d.%0*d\302\240kg ", i % 7 == w % 7 ? "of " : "", i * w % 900, i % 5 + 1, i; print "" } }' | set_pages a4
expect "amounts" "$(on_pages '[0-9.]+ kg' | wc -l)" 3600
expect "amounts parted at the end of a line" "$(grep -cE '[0-9] *$' "$work/pages.txt")" "$(grep -c 'page [0-9]* of [0-9]* *$' "$work/pages.txt")"

# ---- room for a pencil ----

{
    echo 'fields|0'; for i in 1 2 3 4; do echo "field|0|reading $i|10 to 12 %"; done; echo 'field|64|signed|'; echo end
    echo 'fields|32'; for i in 1 2 3 4 5 6 7 8; do echo "field|0|field $i|"; done; echo end
    echo 'keep|0'; echo 'tick|0|1|name|what to do'; echo end
    echo 'table|0||Grid'; echo 'head|0'; echo 'cell|4||one'; echo 'cell|4||other'; echo end
    for i in 1 2 3; do printf 'row|0\ncell|4||\ncell|4||\nend\n'; done; echo end
} | set_pages a4
plain
# where lines to write on stand, from above; and how high the cells of the grid are
figures | grep -oE '[0-9.]+ [0-9.]+ m [0-9.]+ [0-9.]+ l S' | awk '{ print $2 }' | sort -gu >"$work/heights"
expect "lines to write on that are nearer than 9 mm to the one above" "$(awk 'NR > 1 && $1 - last < 9 * 72 / 25.4 { bad++ } { last = $1 } END { print bad + 0 }' "$work/heights")" 0
expect "lines to write on, one above the other" "$(wc -l <"$work/heights")" 7
tr '\n' ' ' <"$work/plain.pdf" | grep -aoE '[0-9.]+ [0-9.]+ m [0-9.]+ [0-9.]+ l S' | awk '$1 == $4 { print ($5 - $2 >= 9 * 72 / 25.4) }' | sort | uniq -c | awk '{ print $1, $2 }' >"$work/cells"
expect "sides of the cells of the grid, of 9 mm" "$(cat "$work/cells")" "9 1"
expect "boxes to tick of 8 mm" "$(grep -acE '[0-9.]+ [0-9.]+ 22\.67[0-9]* 22\.67[0-9]* re' "$work/plain.pdf")" 1

# ---- columns of tables: no short word is parted for the sake of a long sentence ----

{
    echo 'table|0||Trial'; echo 'head|0'; echo 'cell|0||sheet'; echo 'cell|0||what to do'; echo 'end'
    for word in 'short one' 'other two'; do echo 'row|0'; echo "cell|2||$word"; printf 'cell|0||%s\n' "$(yes 'a long sentence' | head -n 12 | tr '\n' ' ')"; echo 'end'; done
    echo end
} | set_pages a4
expect "short words that stay whole" "$(grep -cE 'short one|other two' "$work/pages.txt")" 2

# ---- what is only read is set smaller where that brings it on one page; what is written into is not ----

size_of_letters() { pdftotext -bbox "$work/pages.pdf" - | awk -F'"' '/>a</ { print int(10 * ($8 - $4) / 1.636 + 0.5) / 10; exit }'; }
for lines in 20 30 35 50 60 75 100; do
    awk -v lines=$lines 'BEGIN { print "heading|0|1|Head"; print "pairs|0"; for (i = 0; i < 8; i++) print "pair|0|a|b" i; print "end"
        for (i = 0; i < lines; i++) print "item|0||a line"; print "paragraph|0||a" }' | sed "s/^item|0||/paragraph|0||/" >"$work/read"
    set_pages letter <"$work/read"
    expect "pages and size of letters where $lines lines are read" "$(pdfinfo "$work/pages.pdf" | sed -n 's/^Pages: *//p') $(size_of_letters | awk '{ print ($1 < 11.9 ? "smaller" : "12"), ($1 > 8.9) }')" "$(case $lines in 20) echo 1 12 1 ;; 30 | 35) echo 1 smaller 1 ;; *) echo "$(pdfinfo "$work/pages.pdf" | sed -n 's/^Pages: *//p') 12 1" ;; esac)"
    { cat "$work/read"; echo 'fields|0'; echo 'field|0|write|'; echo end; } | set_pages letter
    expect "size of letters where $lines lines are written into" "$(size_of_letters)" 12
done

# ---- codes ----

# What a device reads of a page at 203 dots an inch, as many label printers have.
read_codes() {
    pdftoppm -r 203 -gray "$work/pages.pdf" "$work/code"
    zbarimg -q --raw "$work"/code-*1.pgm 2>/dev/null
}
# Where the page's one code is, in dots of a picture of so many an inch.
box_of_code() {
    figures | grep -oE '[0-9.]+ [0-9.]+ [ml] ' | awk -v dots="$1" '
        NR == 1 { x0 = x1 = $1; y0 = y1 = $2 }
        { x0 = $1 < x0 ? $1 : x0; y0 = $2 < y0 ? $2 : y0; x1 = $1 > x1 ? $1 : x1; y1 = $2 > y1 ? $2 : y1 }
        END { scale = dots / 72; print int(x0 * scale), int(y0 * scale), int(x1 * scale), int(y1 * scale) }'
}
# How large the modules of that code are, and that nothing is near it: COLUMNS ACROSS DOWN.
look_near() {
    plain
    pdftoppm -r 600 -gray "$work/pages.pdf" "$work/fine"
    # shellcheck disable=SC2046
    "$quiet" zone "$work"/fine-*1.pgm $(box_of_code 600) "$1" "$2" "$3"
}
for text in A BR-047 'A lot of text that goes into a larger code, with more than one block' "$(awk 'BEGIN { while (i++ < 150) printf "m" }')" 'Büttenpapier'; do
    printf 'heading|0|1|Code\nparagraph|0||Words above it\ncode|0|lot|%s|\nparagraph|0||Words below it\n' "$text" | set_pages a4
    expect "what a device reads" "$(read_codes)" "$text"
done
printf 'heading|0|1|Code\ncode|256|batch|BR-047\npairs|0\npair|0|paper|%s\npair|0|mill|name\nend\nparagraph|0||%s\n' "$(yes word | head -n 60 | tr '\n' ' ')" "$(yes below | head -n 60 | tr '\n' ' ')" >"$work/aside"
for size in a4 letter; do
    set_pages $size <"$work/aside"
    expect "what a device reads beside pairs" "$(read_codes)" BR-047
    module=$(look_near 21 4 4) || bad "something is nearer to the QR code than four modules"
    expect "modules of at least 0.4 mm ($module dots)" "$(echo "$module" | awk '{ print ($1 >= 0.4 * 600 / 25.4) }')" 1
done
pdftoppm -r 300 -gray "$work/pages.pdf" "$work/blot"
# shellcheck disable=SC2046
"$quiet" blot "$work"/blot-*1.pgm $(box_of_code 300) >"$work/blotted.pgm"
if cmp -s "$work/blotted.pgm" "$work"/blot-*1.pgm; then bad "no blot"; else good; fi
expect "what a device reads where a part is soiled" "$(zbarimg -q --raw "$work/blotted.pgm" 2>/dev/null)" BR-047
for text in A BR-047 123456 20270301-BR-047 "LOT 7 {a~b}" 00112233445; do
    printf 'paragraph|0||Words above it\ncode|128|lot|%s|\nparagraph|0||Words below it\n' "$text" | set_pages a4
    expect "what a device reads of bars" "$(read_codes)" "$text"
done
printf 'paragraph|0||Words above it\ncode|128|lot|BR-047|\nparagraph|0||Words below it\n' | set_pages a4
module=$(look_near 101 10 0) || bad "something is nearer to the bars than ten modules"
expect "bars of at least 0.4 mm ($module dots)" "$(echo "$module" | awk '{ print ($1 >= 0.99 * 0.4 * 600 / 25.4) }')" 1
printf 'code|128|lot|täglich|\ncode|0|lot|%s|\n' "$(awk 'BEGIN { while (i++ < 400) printf "m" }')" | set_pages a4
expect "what is no code stands there in words" "$(grep -c 'lot täglich' "$work/pages.txt")" 1
expect "no code" "$(read_codes)" ""
expect "what was not set" "$(head -c 2000 "$work/unset")" ""

counted layout
