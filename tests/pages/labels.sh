#!/bin/sh
# Labels: every word within its label and on no other word, no letter smaller than the stock allows, or nothing is written and it is
# said what is missing; codes are read by a device, and have their room. Usage: tests/pages/labels.sh [PAGES-PROGRAM]

. "$(dirname "$0")/../script.sh"
program=${1:-$root/build/tests/waterleaf-pages}
fast=${1:-$root/build/waterleaf-pages}
made=$root/build/tests/pages/made
quiet=$root/build/tests/pages/quiet
unset ASAN_OPTIONS # tests/pages/options.c says what is watched

# Sets what stands on standard input (see made.c); its exit status is the program's. FASTER: one that does not watch its memory.
set_labels() {
    "$made" pdf a4 >"$work/lines" && "${1:-$program}" <"$work/lines" >"$work/labels.pdf" 2>"$work/err"
}

# STOCK COUNT: so many labels, each word of label N begins with lN.
labels() {
    awk -v stock="$1" -v count="$2" '
        function words(text) { gsub(/[^ ]+/, l "&", text); return text }
        BEGIN {
            print "labels|0||||" stock
            for (i = 1; i <= count; i++) {
                l = "l" i
                print "label|0||" l
                print "code|256|" words("q") "|" l "q47|"
                print "heading|0|1|" words("head Paper")
                print "paragraph|0||" words("an address of the mill, on more than one line where the label is narrow")
                print "pairs|0"; print "pair|0|" words("grade") "|" words("good"); print "pair|0|" words("size") "|" words("wide, nominal"); print "end"
                print "caution|0|" words("warning") "|" words("a caution") "|" words("gloves")
                print "fields|0"; print "field|0|" words("opened") "|"; print "end"
                print "table|0||" words("table"); print "row|0"; print "cell|2||" words("cell"); print "cell|1||" words("percent"); print "end"; print "end"
                print "end"
            }
            print "end" }'
}

# Looks at where all words stand: PDF STOCK. Prints what is wrong. A word of label N must be within label N; the lines of a label
# must be apart (letters are 0.61 of the height that is told, lines 1.26 of the letters); no letter is smaller than may be.
look() {
    pdftotext -bbox "$1" "$work/words"
    awk -v stock="$2" '
        BEGIN { split(stock, s, " "); mm = 72 / 25.4; each = s[3] * s[4] }
        /<page / { page++ }
        /<word / {
            split($0, q, "\""); x0 = q[2]; y0 = q[4]; x1 = q[6]; y1 = q[8]
            text = $0; sub(/^[^>]*>/, "", text); sub(/<.*/, "", text)
            if (text !~ /^[(]?[lL][0-9]+[A-Za-z]/) next
            match(text, /[0-9]+/); now = substr(text, RSTART, RLENGTH)
            place = s[12] - 1 + now - 1; on = place % each; column = on % s[3]; row = int(on / s[3])
            left = (s[5] + column * s[9]) * mm; top = (s[6] + row * s[10]) * mm; right = left + s[7] * mm; bottom = top + s[8] * mm
            if (page != int(place / each) + 1) print text " is on page " page
            if (x0 < left || x1 > right || y0 < top || y1 > bottom) print text " is outside its label"
            high = y1 - y0
            if (high / 1.636 < s[11] - 0.01) print text " is smaller than may be: " high / 1.636
            for (i = 1; i <= words; i++)
                if (at[i] == now && x0 < xb[i] - 0.01 && x1 > xa[i] + 0.01) {
                    apart = y1 - yb[i]; apart = apart < 0 ? -apart : apart; less = high < hh[i] ? high : hh[i]
                    if (apart < 0.7 * less) print text " is on " name[i]
                }
            words++; at[words] = now; xa[words] = x0; xb[words] = x1; yb[words] = y1; hh[words] = high; name[words] = text
        }
        END { if (!words) print "no words" }' "$work/words" | head -n 5
}

# ---- several stocks ----

two_by_seven="210 297 2 7 4.65 15.15 99.1 38.1 101.6 38.1 4 1"
three_by_eight="210 297 3 8 7.21 12.9 63.5 33.9 66.04 33.9 3.5 4"
letter_two_by_three="215.9 279.4 2 3 4.8 12.7 101.6 84.7 106.7 84.7 6 2"
four="210 297 2 2 0 0 105 148.5 105 148.5 6 4"
roll="100 60 1 1 0 0 100 60 100 60 5 1"
narrow_roll="50 80 1 1 0 0 50 80 50 80 4 1"
for stock in "$two_by_seven" "$three_by_eight" "$letter_two_by_three" "$four" "$roll" "$narrow_roll"; do
    for count in 1 7 30; do
        labels "$stock" $count | set_labels
        expect "$count labels on $stock: exit status ($(head -c 200 "$work/err"))" "$?" 0
        expect "$count labels on $stock" "$(look "$work/labels.pdf" "$stock")" ""
        expect "$count labels on $stock: all of them" "$(grep -oE '>l[0-9]+head<' "$work/words" | sort -u | wc -l)" "$count"
        if qpdf --check "$work/labels.pdf" >"$work/said" 2>&1; then good; else bad "qpdf: $(tail -n 2 "$work/said")"; fi
        expect "tagged" "$(pdfinfo "$work/labels.pdf" | sed -n 's/^Tagged: *//p')" yes
        expect "fonts that are not embedded" "$(pdffonts "$work/labels.pdf" | sed 1,2d | awk '{ n = NF; if ($(n - 4) != "yes") print $1 }')" ""
        expect "language" "$(qpdf --json "$work/labels.pdf" | jq -r '[.. | objects | select(."/Type"? == "/Catalog")][0] | ."/Lang"' | sed 's/u://')" en-GB
        # shellcheck disable=SC2086
        set -- $stock
        expect "pages of $stock" "$(pdfinfo "$work/labels.pdf" | sed -n 's/^Pages: *//p')" $((($count + ${12} - 1 + $3 * $4 - 1) / ($3 * $4)))
        expect "page size of $stock" "$(pdfinfo "$work/labels.pdf" | awk -v wide="$1" -v high="$2" '/^Page size/ { w = $3 - wide * 72 / 25.4; h = $5 - high * 72 / 25.4; print (w * w + h * h < 0.01) }')" 1
    done
    # the codes of the first labels are read at what label printers have
    for dots in 203 300; do
        read=
        number=0
        pdftoppm -r $dots -gray -f 1 -l 1 "$work/labels.pdf" "$work/code"
        while number=$((number + 1)); place=$((${12} + number - 2)); [ $place -lt $(($3 * $4)) ] && [ $number -le 8 ]; do
            awk -v dots=$dots -v place=$place -v stock="$stock" 'BEGIN { split(stock, s, " "); d = dots / 25.4
                printf "-x %d -y %d -W %d -H %d", (s[5] + place % s[3] * s[9]) * d, (s[6] + int(place / s[3]) * s[10]) * d, s[7] * d, s[8] * d }' >"$work/box"
            # shellcheck disable=SC2046
            pdftoppm -r $dots -gray -f 1 -l 1 $(cat "$work/box") "$work/labels.pdf" "$work/code"
            found=$(zbarimg -q --raw "$work"/code-*1.pgm 2>/dev/null)
            [ "$found" = "l${number}q47" ] || read="$read label $number: '$found';"
        done
        expect "codes of $stock that are not read at $dots dots an inch" "$read" ""
        rm -f "$work"/code-*
    done
done

# ---- text of every length fits, or is refused ----

for stock in "$two_by_seven" "$three_by_eight" "$narrow_roll" "$four"; do
    fitted=0
    for length in 1 2 3 5 8 13 21 34 55 89 144 233 300 377 450 500 550 610 700 800 900 987 1200 1400 1597 2000 2584 3500 4181 6765 10000; do
        for blanks in 1 0; do
            awk -v stock="$stock" -v length_of="$length" -v blanks=$blanks 'BEGIN {
                print "labels|0||||" stock; print "label|0||The label"; print "heading|0|1|l1h"; printf "paragraph|0||"
                for (i = 1; i <= length_of; i++) printf "%s", blanks && i % 7 == 0 && i < length_of ? " " : "m"
                print ""; print "end"; print "end" }' | set_labels "$fast"
            found=$?
            wanted=$(awk -v length_of="$length" -v blanks=$blanks 'BEGIN { for (i = 1; i <= length_of; i++) n += !(blanks && i % 7 == 0 && i < length_of); print n }')
            if [ $found -eq 0 ]; then
                fitted=$((fitted + 1))
                if [ "$(look "$work/labels.pdf" "$stock")" = "" ] && [ "$(pdftotext "$work/labels.pdf" - | tr -cd m | wc -c)" -eq "$wanted" ]; then good; else
                    bad "$length signs ($blanks) on $stock: $(look "$work/labels.pdf" "$stock")"
                fi
            elif [ $found -eq 2 ] && [ ! -s "$work/labels.pdf" ] && grep -qE '^The label “The label” lacks [1-9][0-9]* mm of height, even in letters of [0-9.]+ points, .* Take a larger label stock, or put fewer words on it\.$' "$work/err"; then good; else
                bad "$length signs ($blanks) on $stock: exit status $found, $(head -c 300 "$work/err")"
            fi
        done
    done
    if [ $fitted -gt 10 ] && [ $fitted -lt 60 ]; then good; else bad "$fitted of 62 fit on $stock"; fi
done

# What is missing is told so that it helps: with so many mm more it fits, with fewer it does not.
long_words() { printf 'labels|0||||60 %s 1 1 0 0 60 %s 60 %s 6 1\nlabel|0||Words\nparagraph|0||%s\nend\nend\n' "$1" "$1" "$1" "$(yes many words | head -n 150 | tr '\n' ' ')"; }
long_words 40 | set_labels
missing=$(sed -n 's/.* lacks \([0-9]*\) mm of height.*/\1/p' "$work/err")
high=$((40 + ${missing:-0}))
long_words $high | set_labels
expect "a label that is ${missing:-no} mm higher" "$?" 0
long_words $((high - 1)) | set_labels
expect "a label that is 1 mm less than that" "$?" 2
short="60 20 1 1 0 0 60 20 60 20 6 1"
name=$(awk 'BEGIN { for (i = 0; i < 10000; i++) printf "é" }')
printf 'labels|0||||%s\nlabel|0||%s\nparagraph|0||%s\nend\nend\n' "$short" "$name" "$name" | set_labels
expect "a long name is told short" "$(wc -m <"$work/err" | awk '{ print ($1 < 250) }')" 1
# codes that are too wide
printf 'labels|0||||%s\nlabel|0||Wide\ncode|128|lot|20270301-BR-047-and-a-long-lot|\nend\nend\n' "40 40 1 1 0 0 40 40 40 40 4 1" | set_labels
expect "bars wider than their label" "$?" 2
expect "what is said of them" "$(grep -cE 'lacks [0-9]+ mm of width' "$work/err")" 1

# ---- codes have their room, and modules their size ----

figures() { LC_ALL=C awk '/BDC$/ { inside = /\/Figure/ } /^EMC/ { inside = 0 } inside { printf "%s ", $0 }' "$work/plain.pdf"; }
# The size of the modules of the one code of a label in mm: COLUMNS ACROSS DOWN; fails where something is too near.
look_near() {
    qpdf --qdf --object-streams=disable "$work/labels.pdf" "$work/plain.pdf"
    pdftoppm -r 1200 -gray "$work/labels.pdf" "$work/fine"
    # shellcheck disable=SC2046
    "$quiet" zone "$work"/fine-*1.pgm $(figures | grep -oE '[0-9.]+ [0-9.]+ [ml] ' | awk '
        NR == 1 { x0 = x1 = $1; y0 = y1 = $2 }
        { x0 = $1 < x0 ? $1 : x0; y0 = $2 < y0 ? $2 : y0; x1 = $1 > x1 ? $1 : x1; y1 = $2 > y1 ? $2 : y1 }
        END { scale = 1200 / 72; print int(x0 * scale), int(y0 * scale), int(x1 * scale), int(y1 * scale) }') "$1" "$2" "$3" >"$work/module"
    status=$?
    rm -f "$work"/fine-*
    awk '{ printf "%.2f", $1 * 25.4 / 1200 }' "$work/module"
    return $status
}
for size in '100 60' '60 40' '50 30' '99 140'; do
    # shellcheck disable=SC2086
    set -- $size
    words=$(awk -v times=$(($1 * $2 / 60)) 'BEGIN { for (i = 0; i < times; i++) printf "walls " }')
    for before in "" "heading|0|1|Words above it"; do
        printf '%s\n' "labels|0||||$1 $2 1 1 0 0 $1 $2 $1 $2 4 1" 'label|0||Code' "$before" 'code|256|lot|BR-047|' "paragraph|0||$words" end end | sed '/^$/d' | set_labels
        module=$(look_near 21 4 4) || bad "something is nearer to the QR code than four modules on $size ($before)"
        expect "modules of 0.4 mm or more on $size ($module mm)" "$(echo "$module" | awk '{ print ($1 >= 0.4) }')" 1
        printf '%s\n' "labels|0||||$1 $2 1 1 0 0 $1 $2 $1 $2 4 1" 'label|0||Code' "$before" 'code|128|lot|BR-04|' "paragraph|0||$words" end end | sed '/^$/d' | set_labels
        module=$(look_near 90 10 0) || bad "something is nearer to the bars than ten modules on $size ($before)"
        expect "bars of 0.25 mm or more on $size ($module mm)" "$(echo "$module" | awk '{ print ($1 >= 0.25) }')" 1
    done
done

# ---- among other pages; on sheets that were begun; as pictures ----

{
    printf 'part|0||these pages|small\nheading|0|1|Before\nparagraph|0||words\n'
    labels "$two_by_seven" 15
    printf 'paragraph|0||After\nend\npart|0||other pages|small\n'
    labels "$roll" 2
    printf 'end\npart|0||last pages|small\nparagraph|0||the last\nend\n'
} >"$work/mixed"
set_labels <"$work/mixed"
expect "pages among which there are labels" "$(pdftotext -layout "$work/labels.pdf" - | awk 'BEGIN { RS = "\f" } NF { print (match($0, /page [0-9] of [0-9]/) ? substr($0, RSTART, RLENGTH) : "labels") }' | tr '\n' ' ')" "page 1 of 3 labels labels page 2 of 3 labels labels page 3 of 3 "
expect "their sizes" "$(pdfinfo -l 9 "$work/labels.pdf" | awk '/^Page .*size/ { printf "%d ", $4 }')" "595 595 595 595 283 283 595 "
expect "complaints about the tags" "$(pdfinfo -struct-text "$work/labels.pdf" 2>&1 >"$work/tags")" ""
expect "labels in the tags" "$(grep -cE '^ *Sect' "$work/tags")" 17
"$made" svg a4 <"$work/mixed" | "$program" >"$work/pictures"
expect "pictures" "$(grep -ac '^svg [0-9]*$' "$work/pictures")" 7
expect "pictures of the roll" "$(grep -aoE '<svg [^>]*' "$work/pictures" | grep -cE 'width="283.46[0-9]*pt" height="170.07[0-9]*pt"|width="283.46[0-9]*" height="170.07[0-9]*"')" 2
printf 'labels|0||||%s\nend\n' "$roll" | set_labels
expect "no label at all" "$?" 0
printf 'labels|0||||%s\nlabel|0||Empty\nend\nend\n' "$roll" | set_labels
expect "an empty label" "$?" 0
printf 'labels|0||||%s\nlabel|0||Deep\nkeep|0\nhold|0|HOLD|stop\nfield|64|signed|\nend\ntick|0|1|name|what to do\nlist|0\nitem|0||one\nitem|0||two\nend\nfields|32\nfield|0|a|b\nend\nend\nend\nend\n' "$four" | set_labels
expect "a label with all there is" "$?" 0

# ---- names, and the same bytes everywhere ----

for name in '<&"{}()\>> endobj %%EOF' 'נייר ורק عربي' 'ŵ ǆ ﬁ fi' "$(awk 'BEGIN { for (i = 0; i < 60; i++) printf "W" }')"; do
    printf 'labels|0||||%s\nlabel|0||%s\nheading|0|1|%s\npairs|0\npair|0|%s|%s\nend\nend\nend\n' "$four" "$name" "$name" "$name" "$name" >"$work/named"
    set_labels <"$work/named"
    expect "a label of the name $name ($(cat "$work/err"))" "$?" 0
    if qpdf --check "$work/labels.pdf" >"$work/said" 2>&1; then good; else bad "qpdf: $(tail -n 2 "$work/said")"; fi
done
labels "$two_by_seven" 20 >"$work/once"
set_labels <"$work/once"
cp "$work/labels.pdf" "$work/first.pdf"
(TZ=Pacific/Auckland LC_ALL=tr_TR.UTF-8 LANG=de_DE HOME=$work PANGO_LANGUAGE=ja FONTCONFIG_FILE=/dev/null
 export TZ LC_ALL LANG HOME PANGO_LANGUAGE FONTCONFIG_FILE
 cd / && set_labels "$fast" <"$work/once")
if cmp -s "$work/first.pdf" "$work/labels.pdf"; then good; else bad "other bytes in another time zone, locale, home and folder"; fi

# ---- stock that cannot be ----

while read -r stock; do
    labels "$stock" 1 | set_labels
    found=$?
    if [ $found -eq 2 ] && [ ! -s "$work/labels.pdf" ] && grep -q '^The label stock cannot be as it is described: .*\.$' "$work/err"; then good; else bad "stock $stock: exit status $found, $(head -c 200 "$work/err")"; fi
done <<END
210 297 0 7 4.65 15.15 99.1 38.1 101.6 38.1 4 1
210 297 2.5 7 4.65 15.15 99.1 38.1 101.6 38.1 4 1
210 297 2 1e9 4.65 15.15 99.1 38.1 101.6 38.1 4 1
210 297 3 7 4.65 15.15 99.1 38.1 101.6 38.1 4 1
210 297 2 8 4.65 15.15 99.1 38.1 101.6 38.1 4 1
210 297 2 7 4.65 15.15 99.1 38.1 90 38.1 4 1
210 297 2 7 -5 15.15 99.1 38.1 101.6 38.1 4 1
210 297 2 7 4.65 15.15 99.1 38.1 101.6 38.1 4 15
210 297 2 7 4.65 15.15 99.1 38.1 101.6 38.1 4 0
210 297 2 7 4.65 15.15 99.1 38.1 101.6 38.1 0 1
210 297 2 7 4.65 15.15 99.1 38.1 101.6 38.1 4
210 297 2 7 4.65 15.15 0 38.1 101.6 38.1 4 1
1e300 297 1 1 4.65 15.15 99.1 38.1 101.6 38.1 4 1
END

counted labels
