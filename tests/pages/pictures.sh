#!/bin/sh
# Pictures and marks in every back end: whole on one page with their captions, told in words for who cannot see them, fills that are
# told apart in grey; and marks that are broken, or ask for something outside themselves, are refused.
# Usage: tests/pages/pictures.sh [PAGES-PROGRAM]

. "$(dirname "$0")/../script.sh"
program=${1:-$root/build/tests/waterleaf-pages}
made=$root/build/tests/pages/made
unset ASAN_OPTIONS # tests/pages/options.c says what is watched

# Sets what stands on standard input (see made.c) on pages of SIZE; its exit status is the program's.
set_pages() {
    "$made" pdf "${1:-a4}" >"$work/lines" && "$program" <"$work/lines" >"$work/pages.pdf" 2>"$work/err"
}
sound() { if qpdf --check "$work/pages.pdf" >"$work/said" 2>&1; then good; else bad "$1: qpdf: $(tail -n 2 "$work/said")"; fi; }
alternatives() { qpdf --json "$work/pages.pdf" | jq -r '.. | objects | select(."/S"? == "/Figure") | ."/Alt" // "none"' | sed 's/^u://'; }

# ---- the four kinds of picture ----

pictures=$root/tests/pages/pictures.txt
for size in a4 letter; do
    set_pages $size <"$pictures"
    expect "pictures on $size ($(head -c 300 "$work/err"))" "$?" 0
    sound "pictures on $size"
    expect "words for who cannot see them" "$(alternatives)" "$(sed -n 's/^picture|[^|]*|[^|]*|\([^|]*\).*/\1/p' "$pictures")"
    pdftotext -layout "$work/pages.pdf" "$work/pages.txt"
    pdfinfo -struct-text "$work/pages.pdf" >"$work/tags" 2>"$work/said"
    expect "complaints about the tags" "$(cat "$work/said")" ""
    expect "captions" "$(grep -A1 Caption "$work/tags" | sed -n 's/^ *"\(.*\)"$/\1/p')" "$(sed -n 's/^picture|[^|]*|\([^|]*\).*/\1/p' "$pictures")"
    missing=$(sed -n 's/^shape|[^|]*|words|\([^|]*\).*/\1/p' "$pictures" | while read -r words; do grep -qF -- "$words" "$work/pages.txt" || echo "$words"; done)
    expect "words within pictures that are missing" "$missing" ""
done
"$made" text a4 <"$pictures" | tr -s ' \n' '  ' >"$work/text"
"$made" html a4 <"$pictures" >"$work/html"
sed -n 's/^picture|[^|]*|\([^|]*\)|\([^|]*\).*/\1\n\2/p' "$pictures" | while read -r words; do
    grep -qF -- "$words" "$work/text" || echo "$words is not in the text"
    sed 's/\xC2\xA0/ /g' "$work/html" | grep -qF -- "$words" || echo "$words is not in the HTML"
done >"$work/missing"
expect "what is missing" "$(cat "$work/missing")" ""
expect "pictures in HTML" "$(grep -c '<svg role="img" aria-labelledby="picture[0-9]* picture[0-9]*-words"' "$work/html")" 4
expect "what they refer to that is not there" "$(grep -o 'aria-labelledby="[^"]*"' "$work/html" | tr '" ' '\n\n' | grep ^picture | while read -r id; do grep -c "id=\"$id\"" "$work/html"; done | sort | uniq -c | awk '{ print $1, $2 }')" "8 1"
awk '/<svg role/ { on = 1; file = FILENAME "-" ++n ".svg" } on { sub(/<svg /, "<svg xmlns=\"http://www.w3.org/2000/svg\" "); print > file } /<\/svg>/ { on = 0 }' "$work/html"
if xmllint --noout "$work"/html-*.svg 2>"$work/said"; then good; else bad "SVG in HTML: $(head -n 2 "$work/said")"; fi
(LC_ALL=de_DE.UTF-8 LANG=tr_TR && export LC_ALL LANG && "$made" html a4 <"$pictures" >"$work/again")
if cmp -s "$work/html" "$work/again"; then good; else bad "HTML differs in another locale"; fi

# the torn edge of the PDF is that of the HTML: as many points
set_pages <"$pictures"
qpdf --qdf --object-streams=disable "$work/pages.pdf" "$work/plain.pdf"
torn=$(grep -o 'class="line paper" d="[^"]*"' "$work/html" | head -n 1 | tr -cd ML | wc -c)
if [ "$torn" -gt 300 ] && tr -s '\n ' '  ' <"$work/plain.pdf" | grep -aoE '[0-9.]+ [0-9.]+ m( [0-9.]+ [0-9.]+ l)+' | awk -v torn="$torn" '{ n = gsub(/ [ml]/, ""); if (n == torn) found = 1 } END { exit !found }'; then good; else bad "the torn edge has not $torn points in both"; fi

# ---- fills are told apart in grey, and black words on each can be read ----

awk 'BEGIN { n = split("0 524288 1048576 2097152 4194304 16777216 8388608", fill, " "); print "picture|0||Fills||140 20"
    for (i = 1; i <= n; i++) print "shape|" fill[i] "|box|||" (i - 1) * 20 " 0 16 16"; print "end" }' | set_pages
pdftoppm -r 100 -gray -x 0 -y 0 -W 827 -H 200 "$work/pages.pdf" "$work/grey"
# of each box the mean and how uneven it is: in 1/255
cat >"$work/means.awk" <<'END'
{ for (i = 1; i <= NF; i++) value[count++] = $i }
END {
    wide = value[1]; high = value[2]; top = -1
    for (y = 0; y < high && top < 0; y++) for (x = 0; x < wide; x++) if (value[4 + y * wide + x] < 128) { top = y; break }
    left = wide; for (y = top; y < top + 30; y++) for (x = 0; x < left; x++) if (value[4 + y * wide + x] < 128) left = x
    mm = 100 / 25.4
    for (box = 0; box < 7; box++) {
        sum = squares = n = 0
        for (y = int(top + 3 * mm); y < top + 13 * mm; y++) for (x = int(left + (box * 20 + 3) * mm); x < left + (box * 20 + 13) * mm; x++) { v = value[4 + y * wide + x]; sum += v; squares += v * v; n++ }
        printf "%d %d\n", sum / n, sqrt(squares / n - sum * sum / n / n)
    }
}
END
{ printf '5 '; head -c 40 "$work"/grey*.pgm | LC_ALL=C awk 'NR == 2 { printf "%s %s 255\n", $1, $2; exit }'; LC_ALL=C awk 'NR <= 3 { n += length($0) + 1 } END { print n }' "$work"/grey*.pgm >"$work/head"; tail -c +$(($(head -n 3 "$work"/grey*.pgm | wc -c) + 1)) "$work"/grey*.pgm | od -An -v -tu1; } | awk -f "$work/means.awk" >"$work/means"
expect "boxes" "$(wc -l <"$work/means")" 7
expect "fills that look alike" "$(sort "$work/means" | uniq | awk '{ mean[NR] = $1; uneven[NR] = $2 } END { for (i = 1; i <= NR; i++) for (j = 1; j < i; j++) { d = mean[i] - mean[j]; u = uneven[i] - uneven[j]; if (d * d + u * u < 150) print i, j } }')" ""

# ---- each whole on one page, with its caption, wherever it comes ----

for size in a4 letter; do
    for lines in 0 7 15 22 26 30 31 32 33 34 35 36 37 38 39 40 41 42 43 44 45; do
        awk -v lines=$lines 'BEGIN { for (i = 1; i <= lines; i++) print "paragraph|0||line"
            print "picture|0|caption1x|p||400 120"; for (i = 1; i <= 9; i++) print "shape|262144|words|in" i "x||" i * 40 " " i * 13 " 9"; print "shape|1|words|a longer text that ends at the right sidex||400 119 30"; print "end"
            print "picture|0|caption2x|p||100 400"; print "shape|0|words|in10x||10 10 9"; print "shape|0|words|in11x||10 395 9"; print "end" }' | set_pages $size
        pdftotext -bbox "$work/pages.pdf" - | awk '/<page/ { page++ } /<word/ { split($0, q, "\""); text = $0; gsub(/<[^>]*>/, "", text); gsub(/ /, "", text); print page, text, q[2], q[6], q[8] }' >"$work/words"
        expect "pages of the first picture after $lines lines" "$(awk '$2 ~ /^(caption1x|in[1-9]x|sidex)$/ { print $1 }' "$work/words" | sort -u | wc -l)" 1
        expect "pages of the second picture after $lines lines" "$(awk '$2 ~ /^(caption2x|in1[01]x)$/ { print $1 }' "$work/words" | sort -u | wc -l)" 1
        expect "words of pictures" "$(grep -c 'in[0-9]*x' "$work/words")" 11
        expect "words outside the margins" "$(awk '$3 < 56 || $4 > 612 - 49 || $5 > 842 - 24' "$work/words")" ""
    done
done

# ---- pictures that are none ----

while read -r picture; do
    printf 'picture|0|caption|the words||%s\nend\n' "$picture" | tr ';' '\n' | set_pages
    expect "picture $picture ($(head -c 200 "$work/err"))" "$?" 0
    expect "its words" "$(pdftotext "$work/pages.pdf" - | grep -c 'the words')" 1
    expect "its words in HTML" "$(printf 'picture|0|caption|the words||%s\nend\n' "$picture" | tr ';' '\n' | "$made" html a4 | grep -c '<p>the words</p>')" 1
done <<'END'

10
0 0
-5 10
1e9 10
10 1e300
END
{ echo 'picture|0|caption|the words||100 50'
  for shape in 'line|||1' 'line|||1 2 3' 'box|||1 2 3' 'box|||1 2 -3 4' 'torn|||1e308 2 3 4' 'torn|||0 0 0 0' 'torn|||-3000 -3000 3999 3999' 'words|x||1 2' 'words|||1 2 3' 'ring|||1 2 3 4' 'box|||-4000 -4000 4000 4000'; do
      for marks in 0 1048576 2097152 4194304 16777216 8388608; do echo "shape|$marks|$shape"; done
  done
  echo end; } >"$work/odd"
set_pages <"$work/odd"
expect "odd shapes ($(head -c 300 "$work/err"))" "$?" 0
sound "odd shapes"
"$made" html a4 <"$work/odd" >"$work/html"
expect "odd shapes in HTML" "$?" 0

# ---- marks ----

pdftoppm -r 20 -png -singlefile "$work/pages.pdf" "$work/mark"
cat >"$work/mark.svg" <<'END'
<?xml version="1.0" encoding="UTF-8"?>
<!DOCTYPE svg PUBLIC "-//W3C//DTD SVG 1.1//EN" "http://www.w3.org/Graphics/SVG/1.1/DTD/svg11.dtd">
<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" viewBox="0 0 120 60">
<defs><linearGradient id="g"><stop offset="0"/><stop offset="1" stop-color="#888"/></linearGradient><path id="leaf" d="M10 50C20 0 60 0 60 30C60 50 30 55 10 50Z"/></defs>
<style>.ring { fill: none; stroke: url(#g) }</style>
<use xlink:href="#leaf" fill="url(#g)"/><circle class="ring" cx="90" cy="30" r="20" stroke-width="4" opacity="0.6"/></svg>
END
# A document with the mark in FILE of TYPE, on a page and on labels of a sheet.
marked() {
    bytes=$(base64 -w0 "$1")
    printf 'part|0||a|b\nimage|0|%s|the mark|%s|40 15\nheading|0|1|Sheet\nend\nlabels|0||||210 297 2 7 4.65 15.15 99.1 38.1 101.6 38.1 5 1\n' "$2" "$bytes"
    for label in 1 2 3; do printf 'label|0||l\nimage|0|%s|the mark|%s|20 10\nheading|0|1|Label\nend\n' "$2" "$bytes"; done
    echo end
}
for kind in mark.png:image/png mark.svg:image/svg+xml; do
    marked "$work/${kind%%:*}" "${kind#*:}" >"$work/marked"
    set_pages <"$work/marked"
    expect "$kind ($(head -c 300 "$work/err"))" "$?" 0
    sound "$kind"
    expect "$kind in words" "$(alternatives | sort | uniq -c | awk '{ print $1, $2, $3 }')" "4 the mark"
    "$program" <"$work/lines" | cmp -s - "$work/pages.pdf" || bad "$kind: other bytes the second time"
    "$made" html a4 <"$work/marked" >"$work/html"
    expect "$kind in HTML" "$(grep -c "<img src=\"data:${kind#*:};base64,[A-Za-z0-9+/=]*\" alt=\"the mark\"" "$work/html")" 4
    expect "$kind in text" "$("$made" text a4 <"$work/marked" | grep -c 'the mark')" 4
done
expect "dots in an SVG" "$(pdfimages -list "$work/pages.pdf" | sed 1,2d | wc -l)" 0
pdftoppm -r 50 -gray -f 1 -l 1 -x 43 -y 31 -W 79 -H 30 "$work/pages.pdf" "$work/drawn"
expect "the SVG is drawn" "$("$root/build/tests/pages/quiet" shades "$work"/drawn*.pgm | awk '{ print ($1 > 100 && $1 < 700) }')" 1

# Refused: FILE TYPE WHAT-IS-SAID. Nothing is written; HTML has its words alone.
refused() {
    marked "$work/$1" "$2" >"$work/marked"
    set_pages <"$work/marked"
    found=$?
    if [ $found -eq 2 ] && [ ! -s "$work/pages.pdf" ] && grep -qE "^The mark “the mark” cannot be drawn: .*$3.*\. [A-Z].*\.\$" "$work/err"; then good; else bad "$1, $4: exit status $found, $(head -c 300 "$work/err")"; fi
    [ "$5" = drawn ] || expect "$1, $4 in HTML" "$("$made" html a4 <"$work/marked" | grep -cE '<img|<p>the mark</p>')-$("$made" html a4 <"$work/marked" | grep -c '<img')" 4-0
}
size=$(wc -c <"$work/mark.png")
for cut in 0 4 8 20 33 57 $((size / 2)) $((size - 12)) $((size - 1)); do
    head -c "$cut" "$work/mark.png" >"$work/cut.png"
    refused cut.png image/png 'broken, or cut off' "$cut bytes"
done
for place in 12 17 26 30 $((size / 2)) $((size - 6)); do
    { head -c "$place" "$work/mark.png"; printf '\377\001'; tail -c +$((place + 3)) "$work/mark.png"; } >"$work/changed.png"
    refused changed.png image/png '(broken, or cut off|more than 40 million dots)' "changed at $place"
done
refused mark.svg image/png 'neither a PNG nor an SVG' "under another name"
refused mark.png image/jpeg 'neither a PNG nor an SVG' "of another kind"
refused mark.png image/svg+xml 'no SVG' "under another name"
while IFS='|' read -r says inside; do
    printf '<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" width="10" height="10">%s</svg>' "$inside" >"$work/bad.svg"
    refused bad.svg image/svg+xml "$says" "$inside"
done <<'END'
outside itself|<image href="http://example.org/a.png" width="9" height="9"/>
outside itself|<image xlink:href="a.png" width="9" height="9"/>
outside itself|<image xlink:href = 'file:///etc/passwd' width="9" height="9"/>
outside itself|<use href="other.svg#part"/>
outside itself|<rect style="fill:url(http://example.org/a.svg#g)" width="9" height="9"/>
outside itself|<style>@import "a.css";</style>
outside itself|<rect fill="url('other.svg#g')" width="9" height="9"/>
outside itself|<image href="&#104;ttp://example.org/a.png" width="9" height="9"/>
program|<script>1</script>
words in it|<text x="1" y="9">Mill</text>
words in it|<g><s:text xmlns:s="http://www.w3.org/2000/svg">Mill</s:text></g>
END
printf '<?xml version="1.0"?><!DOCTYPE svg [<!ENTITY e SYSTEM "file:///etc/passwd">]><svg xmlns="http://www.w3.org/2000/svg" width="9" height="9"><g>&e;</g></svg>' >"$work/bad.svg"
refused bad.svg image/svg+xml 'outside itself' "an entity"
printf '<?xml-stylesheet href="a.css"?><svg xmlns="http://www.w3.org/2000/svg" width="9" height="9"/>' >"$work/bad.svg"
refused bad.svg image/svg+xml 'outside itself' "a style sheet"
printf '<?xml version="1.0" encoding="UTF-16"?><svg xmlns="http://www.w3.org/2000/svg" width="9" height="9"/>' >"$work/bad.svg"
refused bad.svg image/svg+xml 'no SVG in UTF-8' "in other letters"
printf '<svg xmlns="http://www.w3.org/2000/svg" width="9" height="9"><g></svg>' >"$work/bad.svg"
refused bad.svg image/svg+xml 'no well-formed SVG' "not well formed" drawn
printf '<svg xmlns="http://www.w3.org/2000/svg"><g/></svg>' >"$work/bad.svg"
refused bad.svg image/svg+xml 'does not say how wide' "without a size" drawn
for base64 in 'AAA' 'A===' '!!!!' 'AAAA AAAA'; do
    printf 'image|0|image/png|the mark|%s|40 15\n' "$base64" | set_pages
    expect "base64 $base64" "$?" 2
done
# what is written in a way that is not looked through is still not opened
cp "$work/mark.png" "$work/secret.png"
printf '<svg xmlns="http://www.w3.org/2000/svg" width="9" height="9"><style>rect { fill: u\\72l(file://%s/secret.svg#g) } image { }</style><rect width="9" height="9"/></svg>' "$work" >"$work/sly.svg"
marked "$work/sly.svg" image/svg+xml | set_pages
if [ $? -eq 0 ] && [ "$(pdfimages -list "$work/pages.pdf" | sed 1,2d | wc -l)" -eq 0 ]; then good; else bad "a sly SVG: $(head -c 300 "$work/err")"; fi
# a thousand labels with the same mark carry it once
bytes=$(base64 -w0 "$work/mark.png")
{ printf 'labels|0||||100 60 1 1 0 0 100 60 100 60 5 1\n'; i=0; while [ $i -lt 40 ]; do printf 'label|0||l\nimage|0|image/png|the mark|%s|20 10\nend\n' "$bytes"; i=$((i + 1)); done; echo end; } | set_pages
expect "how often a mark is carried" "$(grep -c "$bytes" "$work/lines")" 1
expect "how often it is in the PDF" "$(pdfimages -list "$work/pages.pdf" | awk 'NR > 2 { print $11 }' | sort -u | wc -l)" 1

counted pictures
