#!/bin/sh
# The reference: every name has an entry, in the page and in a manual page; no link leads nowhere; both are well formed; the JSON
# that the program writes is as its schemas say. Usage: tests/commands/reference.sh [PROGRAM]

. "$(dirname "$0")/../script.sh"
program=${1:-$root/build/waterleaf}
manual=$root/build/manual
page=$manual/reference.html
cd "$root" || exit 2

# ---- every name ----

# An anchor, as src/reference/book.c spells it: what is neither letter, digit nor hyphen in hexadecimal.
anchors() {
    LC_ALL=C awk -v group="$1" 'BEGIN { for (i = 1; i < 256; i++) place[sprintf("%c", i)] = i }
        { told = ""
          for (i = 1; i <= length($0); i++) { sign = substr($0, i, 1); told = told (sign ~ /[A-Za-z0-9-]/ ? sign : sprintf("_%02X", place[sign])) }
          print group "-" told }'
}

grep -oE '<section class="entry" id="[^"]*"' "$page" | sed 's/.*id="//; s/"//' | LC_ALL=C sort >"$work/entries"
cat "$manual"/waterleaf-*.7 | sed -n 's/^\.It Sy "\\&\([^"]*\)".*/\1/p' | sed 's/\\(dq/"/g; s/\\-/-/g; s/\\e/\\/g' | LC_ALL=C sort -u >"$work/told"

# what stands in names: GROUP WHAT LEAST [page only]. (No pipe ends here: what is counted in one is lost.)
each_has_an_entry() {
    anchors "$1" <"$work/names" | LC_ALL=C sort -u >"$work/wanted"
    missing=$(LC_ALL=C comm -23 "$work/wanted" "$work/entries" | head -n 5 | tr '\n' ' ')
    expect "$2 without an entry in the page" "$missing" ''
    if [ -z "$4" ]; then
        LC_ALL=C sort -u "$work/names" >"$work/wanted"
        missing=$(LC_ALL=C comm -23 "$work/wanted" "$work/told" | head -n 5 | tr '\n' ' ')
        expect "$2 without an entry in a manual page" "$missing" ''
    fi
    if [ "$(wc -l <"$work/names")" -ge "$3" ]; then good; else bad "only $(wc -l <"$work/names") $2 are looked for"; fi
}
listed() { "$program" list --json "$1" | jq -r ".$1[].name"; }
spelt() { sed -n "s/^$1([A-Z_]*, \"\([^\"]*\)\").*/\1/p" grammar/words.def; }

listed kinds >"$work/names"
each_has_an_entry kind kinds 70
listed units >"$work/names"
each_has_an_entry unit units 120
listed materials >"$work/names"
each_has_an_entry thing materials 90
listed steps >"$work/names"
each_has_an_entry step steps 50
listed figures >"$work/names"
each_has_an_entry figure figures 90
listed rules >"$work/names"
each_has_an_entry rule rules 100
listed claims >"$work/names"
each_has_an_entry claim claims 30
"$program" list --json documents | jq -r '.documents[] | select(.sort == "document").name' >"$work/names"
each_has_an_entry document documents 4
"$program" list --json documents | jq -r '.documents[] | select(.sort == "section").name' >"$work/names"
each_has_an_entry section sections 30
listed messages >"$work/names"
each_has_an_entry message messages 140
sed -n 's/^MESSAGE([a-z_]*, "\([^"]*\)".*/\1/p' src/source/messages.def >"$work/names"
each_has_an_entry message 'messages of the list' 140
spelt WORD >"$work/names"
each_has_an_entry word 'reserved words' 30
spelt HEAD >"$work/names"
each_has_an_entry head 'words at the start of a line' 10
spelt SIGN >"$work/names"
each_has_an_entry sign signs 30
sed -n 's/^EFFECT([A-Z_]*, "\([^"]*\)".*/\1/p' src/meaning/effects.def >"$work/names"
each_has_an_entry power powers 20
sed -n 's/^DOCUMENT_LINE(\([a-z-]*\),.*/\1/p' src/meaning/document_lines.def >"$work/names"
each_has_an_entry line 'lines of documents' 30
sed -n 's/^fields \([a-z-]*\).*/\1/p' $(find stdlib -name start -prune -o -name '*.wleaf' -print) >"$work/names"
each_has_an_entry fields 'fields' 30
sed -n 's/^\(mould\|caution\|label-stock\) \([a-z0-9-]*\):.*/\2/p' $(find stdlib -name start -prune -o -name '*.wleaf' -print) >"$work/names"
each_has_an_entry thing 'moulds, cautions and label stock' 60
sed -n 's/^let \([a-z-]*\).*/\1/p' $(find stdlib -name start -prune -o -name '*.wleaf' -print) >"$work/names"
each_has_an_entry let 'constants and functions' 20
sed -n 's/^table \([a-z-]*\).*/\1/p' $(find stdlib -name start -prune -o -name '*.wleaf' -print) >"$work/names"
each_has_an_entry table tables 8
sed -n 's/^basis \([a-z-]*\).*/\1/p' stdlib/kinds.wleaf >"$work/names"
each_has_an_entry basis bases 5
printf '%s\n' 0 1 2 >"$work/names"
each_has_an_entry exit 'exit statuses' 3
sed -n 's/^COMMAND(\([a-z]*\),.*/\1/p' src/commands/commands.def >"$work/names"
each_has_an_entry command commands 8 page
sed -n 's/^OPTION([A-Z_]*, [^,]*, \("[^"]*"\).*/--\1/p' src/commands/options.def | tr -d '"' >"$work/names"
each_has_an_entry option options 20 page
printf 'no-such-thing\n' | anchors step >"$work/wanted"
expect 'a name without an entry is found' "$(LC_ALL=C comm -23 "$work/wanted" "$work/entries")" step-no-such-thing
expect 'rules of the grammar that are left out' "$(sed -n 's/^\([a-z]*\)\(([A-Z])\)\{0,1\} *::=.*/\1/p' grammar/parser.y | sort -u | while read -r rule; do grep -qx "$rule" build/gen/grammar.txt || echo "$rule"; done)" ''
expect 'tokens that nobody can read' "$(grep -oE '\b[A-Z][A-Z_]+\b' build/gen/grammar.txt | head -n 3)" ''

# ---- both forms ----

grep -oE ' id="[^"]*"' "$page" | sed 's/ id="//; s/"//' | LC_ALL=C sort >"$work/ids"
expect 'ids that are there twice' "$(uniq -d "$work/ids" | head -n 5)" ''
grep -oE 'href="#[^"]*"' "$page" | sed 's/href="#//; s/"//' | LC_ALL=C sort -u >"$work/links"
expect 'links that lead nowhere' "$(LC_ALL=C comm -23 "$work/links" "$work/ids" | head -n 5 | tr '\n' ' ')" ''
if [ "$(wc -l <"$work/links")" -ge 1000 ]; then good; else bad "only $(wc -l <"$work/links") links"; fi
expect 'what the page takes from outside' "$(grep -oE '(src|href)="[^#"][^"]{0,40}|url\([^)]{0,40}|@import|<link[^>]*' "$page" | head -n 3)" ''
expect 'what tidy says of the page' "$(tidy -q -e --drop-empty-elements no "$page" 2>&1 | head -n 5)" ''
expect 'what libxml2 says of the page' "$(xmllint --html --noout "$page" 2>&1 | grep 'error :' | grep -vE 'Tag (main|section|nav|output) invalid' | head -n 5)" ''
expect 'headings that leave out a level' "$(grep -oE '<h[1-6]' "$page" | awk '{ level = substr($0, 3); if (level > last + 1) print NR; last = level }' | head -n 3)" ''
for file in "$manual"/waterleaf-*.7; do
    expect "what is wrong in $(basename "$file")" "$(mandoc -T lint -W warning "$file" 2>&1 | head -n 3)" ''
done
expect 'how many manual pages' "$(find "$manual" -name 'waterleaf-*.7' | wc -l)" 9
expect 'the same bytes once more' "$(mkdir "$work/again" && build/make-reference . build/gen/grammar.txt "$work/again" && cmp "$page" "$work/again/reference.html" && echo same)" same
mkdir "$work/full" && (ulimit -f 1 && trap '' XFSZ && exec build/make-reference . build/gen/grammar.txt "$work/full") >/dev/null 2>&1
expect 'exit status of a disk that is full' $? 2

# ---- JSON as its schemas say ----

fits() { # SCHEMA FILE
    expect "$2 against the schema of $1" "$(python3 tests/commands/schema.py "grammar/schemas/$1.json" "$work/$2" 2>&1 | head -n 5)" ''
}
"$program" check --json tests/messages tests/golden/language examples >"$work/check.json" 2>/dev/null
fits check check.json
expect 'what was seen of problems' "$(jq -c '[([.problems[].severity] | unique), any(.problems[]; .edits != []), any(.problems[]; .places != []), any(.problems[]; .found != null)]' "$work/check.json")" '[["error","warning"],true,true,true]'
for script in examples/*.wleaf tests/golden/flow/every-step.wleaf; do
    "$program" weigh --json --what-if "$script" >"$work/weigh.json" 2>/dev/null
    fits weigh weigh.json
done
"$program" why --json examples/botanical.wleaf BR-047 alkaline-reserve >"$work/why.json"
fits why why.json
"$program" compare --json examples/botanical.wleaf BR-047 examples/first.wleaf sketch >"$work/compare.json" 2>/dev/null
fits compare compare.json
"$program" tidy --check --json examples >"$work/tidy.json"
fits tidy tidy.json
for list in units kinds materials steps figures rules claims documents messages; do
    "$program" list --json $list >"$work/$list.json"
    fits list $list.json
done
# what does not fit is seen: a key too much, one too few, another type, another word
for wrong in '.more = 1' 'del(.edition)' '.problems[0].line = "x"' '.problems[0].severity = "grave"' '.problems[0].mend = 1' '.stdlib = "?"'; do
    jq "$wrong" "$work/check.json" >"$work/wrong.json"
    if [ -n "$(python3 tests/commands/schema.py grammar/schemas/check.json "$work/wrong.json")" ]; then good; else bad "it is not seen: $wrong"; fi
done

counted reference
