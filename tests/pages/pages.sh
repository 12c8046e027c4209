#!/bin/sh
# The pages of the examples, read back by other programs: tagged, titled, all fonts in them, nothing wrong in their
# structure, every amount on them, the same bytes everywhere; and what happens where they cannot be made.
# Usage: tests/pages/pages.sh [PROGRAM]

. "$(dirname "$0")/../script.sh"
program=${1:-$root/build/waterleaf}
cd "$root" || exit 2
fails() {
    found=$1
    says=$2
    if [ "$found" -eq 2 ] && grep -q -- "$says" "$work/err"; then good; else bad "exit status $found; '$says' was to be said, and was: $(head -c 300 "$work/err")"; fi
}
info() { printf '%s\n' "$about" | sed -n "s/^$1: *//p"; }
write() { "$program" write batch-sheet "$@" 2>"$work/err" </dev/null; }

# ---- each example, on both papers ----

for script in examples/*.wleaf tests/golden/language/own-things.wleaf; do
    for page in a4 letter; do
        pdf=$work/sheet.pdf
        if write "$script" --page $page -o "$pdf" && [ ! -s "$work/err" ]; then good; else bad "$script is not written: $(cat "$work/err")"; continue; fi
        about=$(LC_ALL=C pdfinfo "$pdf" 2>&1)
        expect "$script tagged" "$(info Tagged)" yes
        title=$(write "$script" --as html | sed -n 's|^<title>\(.*\)</title>$|\1|p' | head -n 1)
        expect "$script title" "$(info Title)" "$(printf '%s' "$title" | sed 's/\xC2\xA0/ /g; s/&lt;/</g; s/&gt;/>/g; s/&quot;/"/g; s/&amp;/\&/g')"
        size=$(info 'Page size')
        case $page:$size in a4:595.276*841.89* | letter:612*792*) good ;; *) bad "$script $page is $size" ;; esac
        if qpdf --check "$pdf" >"$work/said" 2>&1; then good; else bad "qpdf --check $script: $(tail -n 3 "$work/said")"; fi
        expect "$script language" "$(qpdf --json "$pdf" | jq -r '[.. | objects | select(."/Type"? == "/Catalog")][0] | ."/Lang", ."/ViewerPreferences"."/DisplayDocTitle"' | tr '\n' ' ' | sed 's/u://')" "en-GB true "
        expect "$script fonts that are not embedded" "$(pdffonts "$pdf" | sed 1,2d | awk '{ n = NF; if ($(n - 4) != "yes") print $1 }')" ""
        # every page says whose it is, and which of how many
        pages=$(info Pages)
        number=1
        while [ "$number" -le "$pages" ]; do
            if pdftotext -layout -f "$number" -l "$number" "$pdf" - | grep -q "page $number of $pages"; then good; else bad "$script $page: page $number does not say which it is"; fi
            number=$((number + 1))
        done
    done
    # nothing stands outside the margins, and no letter is of a size that is not read at arm's length
    expect "$script words outside" "$(pdftotext -bbox "$pdf" - | sed -n 's/.*xMin="\([^"]*\)" yMin="\([^"]*\)" xMax="\([^"]*\)" yMax="\([^"]*\)".*/\1 \2 \3 \4/p' |
        awk '$1 < 56 || $3 > 612 - 50 || $2 < 40 || $4 > 792 - 24' | wc -l)" 0
    # each amount that the plain text shows, and each figure of weigh
    pdftotext -raw "$pdf" - | tr '\n\f' '  ' | sed 's/  */ /g' >"$work/pdf.txt"
    write "$script" --as text >"$work/sheet.txt"
    grep -oE '[0-9][0-9.]* (g|kg|L|mL|mm|µm|%|h|min|d|g/m²|g/L|kPa|°C|°SR|mol/kg|m²|sheets)( on fibre| of sheet| w/w| w/v)?' "$work/sheet.txt" | sort -u >"$work/amounts"
    if [ "$(wc -l <"$work/amounts")" -gt 10 ]; then good; else bad "$script shows hardly an amount"; fi
    "$program" weigh --json "$script" | jq -r '.. | objects | .shown? // empty' | sort -u | while read -r shown; do
        if grep -qF -- "$shown" "$work/sheet.txt"; then printf '%s\n' "$shown"; fi
    done >>"$work/amounts"
    missing=$(while read -r amount; do grep -qF -- "$amount" "$work/pdf.txt" || printf '%s; ' "$amount"; done <"$work/amounts")
    expect "$script: amounts that are not on the pages" "$missing" ""
done

# ---- what a reader that cannot see gets ----

sheet=examples/botanical.wleaf
pdf=$work/botanical.pdf
write $sheet BR-047 -o "$pdf"
pdfinfo -struct-text "$pdf" >"$work/tags" 2>"$work/said"
expect "complaints about the tags" "$(cat "$work/said")" ""
for tag in Document Part H1 H2 H3 P L LI LBody Table Caption TR TH TD Figure Div; do
    if grep -qE "^ *$tag( |:|$)" "$work/tags"; then good; else bad "no tag $tag"; fi
done
qpdf --json "$pdf" | jq '[.. | objects | select(."/S"? == "/Figure")]' >"$work/figures"
expect "figures without words" "$(jq '[.[] | select(."/Alt" == null)] | length' "$work/figures")" 0
expect "figures" "$(jq 'length > 50' "$work/figures")" true
expect "heads that are heads of nothing" "$(qpdf --json "$pdf" | jq '[.. | objects | select(."/S"? == "/TH" and ."/A"."/Scope" == null)] | length')" 0
expect "tag and text" "$(pdfinfo -struct-text "$pdf" | grep -A1 'H1 (block)' | sed -n '2s/^ *//p')" '"Batch sheet BR-047, parcel 1 of 1"'

# ---- the same bytes in any place, on any day ----

cp "$pdf" "$work/once.pdf"
same() {
    if cmp -s "$work/once.pdf" "$pdf"; then good; else bad "other bytes: $1"; fi
}
write $sheet BR-047 -o "$pdf"
same "the second time"
(TZ=Pacific/Auckland LC_ALL=tr_TR.UTF-8 LANG=de_DE HOME=$work XDG_CONFIG_HOME=$work FONTCONFIG_FILE=/dev/null PANGO_LANGUAGE=ja
 export TZ LC_ALL LANG HOME XDG_CONFIG_HOME FONTCONFIG_FILE PANGO_LANGUAGE
 write $sheet BR-047 -o "$pdf")
same "in another time zone, locale and home"
(cd examples && umask 077 && write botanical.wleaf BR-047 -o "$pdf")
same "from another folder"
cat $sheet >"$work/botanical.wleaf"
write $sheet BR-047 --as pdf >"$pdf"
same "to standard output"
expect "a date where none was told" "$(pdfinfo "$pdf" | grep -c Date)" 0
(SOURCE_DATE_EPOCH=1772323200 && export SOURCE_DATE_EPOCH && write $sheet BR-047 -o "$pdf")
expect "the date that was told" "$(TZ=UTC pdfinfo -isodates "$pdf" | sed -n 's/^CreationDate: *//p')" "2026-03-01T00:00:00Z"
(SOURCE_DATE_EPOCH=soon && export SOURCE_DATE_EPOCH && write $sheet BR-047 -o "$pdf")
fails $? 'SOURCE_DATE_EPOCH is soon'

# ---- pictures ----

write $sheet BR-047 --as svg -o "$work/picture.svg"
expect "pictures" "$(ls "$work"/picture-*.svg | wc -l)" "$(pdfinfo "$work/once.pdf" | sed -n 's/^Pages: *//p')"
if xmllint --noout "$work"/picture-*.svg 2>"$work/said"; then good; else bad "SVG: $(head -n 2 "$work/said")"; fi
write $sheet BR-047 --as svg >"$work/out"
fails $? 'holds one page'

# ---- the code of the HTML, drawn from its path in dots ----

write $sheet BR-047 --as html | sed -n 's/.*viewBox="0 0 \([0-9]* [0-9]*\)"[^>]*><path d="\([^"]*\)".*/\1 \2/p' | head -n 1 | awk '
    { wide = $1; high = $2; gsub(/[Mhvz-]/, " "); count = split($0, n, " ")
      for (i = 3; i < count; i += 5) for (x = 0; x < n[i + 2]; x++) for (y = 0; y < n[i + 3]; y++) dark[n[i] + x, n[i + 1] + y] = 1
      print "P1"; print 6 * wide, 6 * high
      for (y = 0; y < 6 * high; y++) { line = ""; for (x = 0; x < 6 * wide; x++) line = line (((int(x / 6), int(y / 6)) in dark) ? "1 " : "0 "); print line } }' >"$work/code.pbm"
expect "what a device reads of the HTML" "$(zbarimg -q --raw "$work/code.pbm" 2>/dev/null)" BR-047

# ---- what cannot be done is said, and what was there stays ----

mkdir "$work/alone"
cp "$program" "$work/alone/waterleaf"
echo before >"$work/kept.pdf"
"$work/alone/waterleaf" write batch-sheet $sheet BR-047 -o "$work/kept.pdf" 2>"$work/err"
fails $? 'waterleaf-pages, which sets pages, is not where'
printf 'no program' >"$work/alone/waterleaf-pages"
"$work/alone/waterleaf" write batch-sheet $sheet BR-047 -o "$work/kept.pdf" 2>"$work/err"
fails $? 'could not be started'
printf '#!/bin/sh\nkill -9 $$\n' >"$work/alone/waterleaf-pages"
chmod +x "$work/alone/waterleaf-pages"
"$work/alone/waterleaf" write batch-sheet $sheet BR-047 -o "$work/kept.pdf" 2>"$work/err"
fails $? 'came to no end'
(ulimit -f 100 && write $sheet BR-047 -o "$work/kept.pdf")
if [ $? -ne 0 ]; then good; else bad "a file larger than may be was written"; fi
write $sheet BR-047 --as pdf >/dev/full
fails $? 'could not be written'
write $sheet BR-047 --as pdf -o "$work"
fails $? 'cannot be written'
if mkdir "$work/small" && mount -t tmpfs -o size=100k none "$work/small" 2>"$work/said"; then
    echo before >"$work/small/kept.pdf"
    write $sheet BR-047 -o "$work/small/kept.pdf"
    fails $? 'cannot be written; what was there is as it was'
    expect "what was on the full disk" "$(cat "$work/small/kept.pdf"; ls -A "$work/small" | wc -l)" "before
1"
    umount "$work/small"
fi
expect "what was there" "$(cat "$work/kept.pdf")" before
make -s install DESTDIR="$work/installed" PREFIX=/usr BUILD="$(dirname "$program")" >"$work/said" 2>&1
if "$work/installed/usr/bin/waterleaf" write batch-sheet $sheet BR-047 -o "$pdf" && cmp -s "$pdf" "$work/once.pdf"; then good; else bad "what was installed does not set pages"; fi

# ---- names to choke on, in a program that watches its memory ----

unset ASAN_OPTIONS # tests/pages/options.c says what is watched
mkdir "$work/watched"
cp "$program" "$work/watched/waterleaf"
cp "$root/build/tests/waterleaf-pages" "$work/watched/waterleaf-pages"
long=$(awk 'BEGIN { for (i = 0; i < 10000; i++) printf "%s", i % 61 == 60 ? " " : substr("abcdefghijklmnop", i % 16 + 1, 1) }')
whole=$(awk 'BEGIN { for (i = 0; i < 10000; i++) printf "w" }')
named() {
    awk -v title="$1" '{ if ($0 ~ /^  title /) print "  title     \"" title "\""; else print }' examples/first.wleaf >"$work/named.wleaf"
    if "$work/watched/waterleaf" write batch-sheet "$work/named.wleaf" --sheets 20 -o "$work/named.pdf" 2>"$work/err" &&
        qpdf --check "$work/named.pdf" >"$work/said" 2>&1; then good; else bad "the title $(printf %.60s "$1"): $(head -n 3 "$work/err")"; fi
    pdftotext "$work/named.pdf" - >"$work/named.txt"
}
# (a text in a script has its braces twice)
named '<&(){{}}/<< >> endobj %%EOF'
if grep -qF '<&(){}/<< >> endobj %%EOF' "$work/named.txt"; then good; else bad "a title of signs that PDF uses is not on the page"; fi
expect "its title" "$(pdfinfo "$work/named.pdf" | sed -n 's/^Title:  *//p')" "Batch sheet <&(){}/<< >> endobj %%EOF: <&(){}/<< >> endobj %%EOF"
named 'נייר ورق'
if grep -q 'נייר' "$work/named.txt"; then good; else bad "a title from right to left is not on the page"; fi
named "$long"
named "$whole"
expect "letters of the long word" "$(tr -cd w <"$work/named.txt" | wc -c | awk '{ print ($1 >= 20000) }')" 1
awk '{ if ($0 ~ /^  title /) print "  title     \"紙\""; else print }' examples/first.wleaf >"$work/named.wleaf"
"$work/watched/waterleaf" write batch-sheet "$work/named.wleaf" --sheets 20 -o "$work/none.pdf" 2>"$work/err"
fails $? 'The sign 紙 (U+7D19) is in no font'
if [ -e "$work/none.pdf" ]; then bad "a page with a missing sign was written"; else good; fi
for bytes in '' 'waterleaf-pages 2\n' 'waterleaf-pages 2\nend\n' 'waterleaf-pages 2\nroot\t0\t0\t\tx\t\t\n' 'waterleaf-pages 2\nroll\t0\t0\t\tx\t\t\nend\n' 'waterleaf-pages 2\npart\t0\t0\t\tx\t\t\nend\n' \
    'waterleaf-pages 1\nroot\t0\t0\t\tx\t\nend\n' 'waterleaf-pages 2\nroot\t0\t0\t\tx\t\t1 x\nend\n' 'waterleaf-pages 2\nroot\t0\t0\t\tx\t\t1  2\nend\n' 'waterleaf-pages 2\nroot\t0\t0\t\tx\t\tinf\nend\n'; do
    printf "$bytes" | "$work/watched/waterleaf-pages" >"$work/out" 2>"$work/err"
    fails $? 'no document to set'
done

counted pages
