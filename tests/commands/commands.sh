#!/bin/sh
# The command line: what each command says of the examples, and of a script whose fibre, step, unit and figure are its
# own; exit statuses; JSON that is JSON; writes that fail. Usage: tests/commands/commands.sh [PROGRAM]

. "$(dirname "$0")/../script.sh"
program=${1:-$root/build/waterleaf}
cd "$root" || exit 2
own=tests/golden/language/own-things.wleaf

# Runs the program: the exit status that it must have, and its arguments. What it says is in $work/out and $work/err.
try() {
    status=$1
    shift
    "$program" "$@" >"$work/out" 2>"$work/err" </dev/null
    found=$?
    if [ "$found" -eq "$status" ]; then good; else
        bad "waterleaf $*: exit status $found, not $status"
        head -n 3 "$work/err" "$work/out" | sed 's/^/    /'
    fi
}
silent() { if [ -s "$work/out" ] || [ -s "$work/err" ]; then bad "$1 was to be silent"; else good; fi; }
says() { if grep -q -- "$1" "$work/out" "$work/err"; then good; else bad "'$1' was to be said by: $2"; fi; }
says_not() { if grep -q -- "$1" "$work/out" "$work/err"; then bad "'$1' was not to be said by: $2"; else good; fi; }
quiet() { if [ -s "$work/$1" ]; then bad "$2: nothing was to be on $1"; else good; fi; }
json() { if jq -e . "$work/out" >/dev/null 2>&1; then good; else bad "$1: no JSON"; fi; }
holds() { if [ "$(jq -r "$1" "$work/out" 2>/dev/null)" = "$2" ]; then good; else bad "$1 is $(jq -c "$1" "$work/out" 2>&1 | head -c 200), not $2"; fi; }

# ---- whoever sizes is warned, however the size is laid on ----

expect 'steps of sizing without a caution' "$(awk '/^step / { step = $2; sizing = warned = 0 } /^  role +sizing/ { sizing = 1 } /^  cautions / { warned = 1 } /^end/ && sizing && !warned { print step }' stdlib/steps/*.wleaf)" ''

# ---- a step that takes nothing is not taken for the one behind it ----

{
    printf 'waterleaf 1\nstep count-off:\n  role  blending\n  gives loads as count = 7\nend\n'
    sed 1d examples/first.wleaf | sed 's/^  procedure:/&\n    count-off/'
} >"$work/counted.wleaf"
expect 'loads of what is beaten in one' "$("$program" weigh --json "$work/counted.wleaf" --sheets 20 | jq -c '.papers[0].weigh[0].loads')" 1

# ---- the examples are without a mistake, in every command ----

try 0 check examples
silent "check examples"
try 0 check --strict --short examples/*.wleaf
silent "check --strict --short"
for script in examples/*.wleaf tests/golden/flow/followed.wleaf $own; do
    try 0 check "$script"
    silent "check $script"
    try 0 weigh "$script"
    quiet err "weigh $script"
    try 0 weigh --json "$script"
    json "weigh --json $script"
    for as in text html; do
        try 0 write batch-sheet "$script" --as $as
        quiet err "write batch-sheet $script"
        mv "$work/out" "$work/once"
        try 0 write batch-sheet "$script" --as $as
        if cmp -s "$work/once" "$work/out"; then good; else bad "write --as $as $script: not the same bytes twice"; fi
    done
done

# ---- what a script declares alone works as stdlib's does ----

try 0 weigh $own
says nettle "weigh"
says feel "weigh"
try 0 weigh --json $own
holds '.papers[0].figures["feel"].value' 7
holds '.papers[0].weigh[0].material' nettle
try 0 write batch-sheet $own --as text
says 'Grind nettle between the stones, 300 times, 0.8 hank' "write batch-sheet"
try 0 why $own N-1 feel
says 'mm/g' "why"
for words in gelatin linter chalk akd; do
    if grep -rqi "$words" src/ grammar/; then bad "src or grammar speaks of $words"; else good; fi
done

# ---- numbers of sheets, names, standard input ----

try 0 weigh examples/botanical.wleaf BR-047 --sheets 160
try 0 weigh examples/botanical.wleaf 'botanical weight=300 finish=rough'
try 0 weigh examples/botanical.wleaf 'Botanical rough 300 g/m²'
try 0 weigh examples/botanical.wleaf 'Botanical rough 300 g/m2'
try 2 weigh examples/botanical.wleaf BR-04
says BR-047 "a name nearly right"
try 2 weigh examples/botanical.wleaf --sheets none
if "$program" check - <$own >"$work/out" 2>"$work/err"; then silent "check -"; else bad "check - fails"; fi
printf 'waterleaf 1\nlet a = wnidow\n' >"$work/wrong.wleaf"
if "$program" check --short - <"$work/wrong.wleaf" >"$work/out" 2>&1; then bad "check - passes a wrong script"; else
    : >"$work/err"
    says ':2:9: error: There is no name called wnidow' "check --short -"
fi

# what stands behind a number is taken for its unit: of a word that is like none it is said how a word is written there
printf 'waterleaf 1\nlet a = 25 surplus\n' >"$work/comma.wleaf"
try 1 check "$work/comma.wleaf"
says 'There is no unit surplus. If it is meant as a word, put a comma in front of it.' "a word behind a number"
printf 'waterleaf 1\nlet a = 25 kgg\n' >"$work/comma.wleaf"
try 1 check "$work/comma.wleaf"
says_not 'put a comma' "a unit nearly right"

# a hyphen that was forgotten, in the procedure and in the furnish
sed 's/loft-dry /loft dry /' examples/first.wleaf >"$work/hyphen.wleaf"
try 1 check --json "$work/hyphen.wleaf"
says 'Did you mean loft-dry?' "a step in two words"
holds '.problems | length' 1
sed 's/cotton-linters 100/cotton linters 100/' examples/first.wleaf >"$work/hyphen.wleaf"
try 1 check "$work/hyphen.wleaf"
says 'Did you mean cotton-linters?' "a material in two words"
sed 's/cotton-linters 100/crown 100/' examples/first.wleaf >"$work/hyphen.wleaf"
try 1 check "$work/hyphen.wleaf"
says 'There is no material called crown.' "a mould in the furnish"
sed 's/cotton-linters 100/potte 100/' examples/first.wleaf >"$work/hyphen.wleaf"
try 1 check "$work/hyphen.wleaf"
says_not 'Did you mean pott' "a mould is not offered as a material"

# ---- problems in scripts: 1; in the call or the system: 2 ----

try 1 check "$work/wrong.wleaf"
says 'unknown-name' "check"
try 1 check --json "$work/wrong.wleaf"
json "check --json"
holds '.problems[0].name' unknown-name
holds '.problems[0].line' 2
holds '.problems[0].column' 9
holds '.waterleaf' 1
try 0 check --json $own
holds '.problems | length' 0
printf 'note "of no edition"\n' >"$work/warned.wleaf"
try 0 check "$work/warned.wleaf"
says edition-missing "check"
try 1 check --strict "$work/warned.wleaf"
try 1 weigh "$work/wrong.wleaf"
try 2 check "$work/missing.wleaf"
says missing.wleaf "a file that is not there"
try 2 chek "$work/wrong.wleaf"
says check "a command nearly right"
try 2 check --shrot "$work/wrong.wleaf"
says shrot "an option nearly right"
try 2 weigh
try 2 write label "$work/wrong.wleaf"
try 0 --help
says weigh "--help"
# What each command does stands in one column, whatever signs are in front of it: check's words hold one of three bytes.
expect 'one column of what commands do' "$(sed -n 's/ what is wrong in scripts.*//p; s/ the amounts and all figures.*//p' "$work/out" | sed 's/…/./' | awk '{ print length }' | sort -u | wc -l)" 1
try 0 --version
for command in check weigh write compare why list; do
    try 0 $command --help
    says $command "$command --help"
done

# ---- lists and explanations ----

for what in units kinds materials steps figures messages; do
    try 0 list $what
    try 0 list $what --json
    json "list $what --json"
done
try 0 list materials chalk
says chalk "list materials chalk"
try 0 why unknown-name
says 'wnidow' "why unknown-name"
try 2 why unknown-nam
says unknown-name "a message nearly right"
try 0 why tests/golden/flow/followed.wleaf followed alkaline-reserve
says 'mol/kg' "why"
try 2 why tests/golden/flow/followed.wleaf followed alkaline-reserv
says alkaline-reserve "a figure nearly right"
# a function's parameters are what stands in its call, and are explained at each call
try 0 why examples/kozo-tissue.wleaf KT-8 sheets-per-top-up
says 'depletion is 2.112 %:' "why: a parameter that the call works out"
says_not 'written as 6 dips' "why: a parameter is not the step's own"
try 0 why examples/botanical.wleaf BR-047 vat-heel
says 'vat-at is 1.2 %' "why: a parameter called otherwise than what stands for it"
# counts are shown in what they count
try 0 why examples/botanical.wleaf BR-047 loads
says 'is 2 loads:' "why: a gives line's own unit"
try 2 why examples/botanical.wleaf BR-047 jug
says 'No step of this procedure gives jug' "why: a figure of a step that is not taken"

# where a script has errors there is no explanation, and JSON says so
sed 's/to 42 °SR/to 42 SRR/' examples/botanical.wleaf >"$work/wrong-why.wleaf"
mkdir -p "$work/mills" && cp examples/mills/*.wleaf "$work/mills"
try 1 why "$work/wrong-why.wleaf" BR-047 loads
quiet out "why, of a script with errors"
try 1 why --json "$work/wrong-why.wleaf" BR-047 loads
holds .text null
holds '.problems | length > 0' true
try 0 why --json examples/botanical.wleaf BR-047 loads
holds '.text | startswith("loads of beat")' true

# ---- where a count is one, no sentence says several ----

cat >"$work/ones.wleaf" <<'END'
waterleaf 1
mould box-mould:
  opening  300 mm by 420 mm
end
mill ones:
  beater  trough of 60 L
  chest   of 400 L
  vat     of 120 L
  press   of 10 t, on 350 mm by 480 mm
  loft    of 100 sheets
  forms   12 sheets/h
  parcel  100 sheets
end
paper one-sheet:
  title    "One {made}"
  vary     made over dipped, poured
  mould    box-mould
  grammage 120 g/m²
  surface  rough
  furnish:
    linen-rag 100 %
  end
  procedure:
    dust        linen-rag, 1 times
    soak        linen-rag for 1 h
    wash        linen-rag, 1 times, rinsing 1
    beat        linen-rag at 2 %, for 1 h
    blend       into chest
    charge-vat  to 0.8 %
    when made is dipped:
      form-dips 1 dips, into posts of 1
    end
    when made is poured:
      form      into posts of 1
    end
    press       at 400 kPa
    part
    exchange-press at 200 kPa, 1 times
    loft-dry    for 1 d
    brush-size  with methyl-cellulose, at 2 % w/v dry, taking-up 60 g/m², 1 coats
    loft-dry    for 1 d
    sort        keeping 100 %
    count-out   into packs of 1
  end
end
batch "dipped":
  paper  one-sheet, with made dipped
  mill   ones
  sheets 1, sure 1 %
end
batch "poured":
  paper  one-sheet, with made poured
  mill   ones
  sheets 1, sure 1 %
end
END
try 0 weigh --json "$work/ones.wleaf"
holds '[.papers[].steps[] | select(.step == "press" or .step == "beat") | (.figures.posts // .figures.loads).value] | tostring' '[1,1,1,1]'
jq -r '.papers[].steps[].text' "$work/out" >"$work/ones"
for word in sheets posts loads times dips coats packs waters litres days hours; do
    if grep -qE "(^|[^0-9.])1 $word" "$work/ones"; then bad "$(grep -hoE "[^.]{0,40}[^0-9.]1 $word" "$work/ones" | head -n 1)"; else good; fi
done
try 0 weigh "$work/ones.wleaf"
says '1 good sheet, 1 to form, in 1 parcel' "weigh, of one sheet"

# ---- writes that fail are told, and leave nothing half written ----

for call in "weigh $own" "weigh --json $own" "write batch-sheet $own" "compare $own N-1 N-1" "list units" "why unknown-name" "check $work/wrong.wleaf"; do
    # shellcheck disable=SC2086
    "$program" $call >/dev/full 2>"$work/err"
    found=$?
    if [ "$found" -eq 2 ]; then good; else bad "waterleaf $call >/dev/full: exit status $found, not 2"; fi
done
try 0 write batch-sheet $own --as html -o "$work/sheet.html"
quiet out "write -o"
if [ -s "$work/sheet.html" ]; then good; else bad "write -o wrote nothing"; fi
try 0 write batch-sheet $own -o -
if [ -s "$work/out" ]; then good; else bad "write -o - wrote nothing to standard output"; fi
try 2 write batch-sheet $own -o "$work/sheet.docx"
if grep -q 'No document ends in .docx' "$work/err" && [ ! -e "$work/sheet.docx" ]; then good; else bad "a document of an ending that none has: $(cat "$work/err")"; fi
try 0 write batch-sheet $own --as text -o "$work/sheet.docx"
try 0 write batch-sheet $own -o "$work/.sheet"
try 0 write batch-sheet $own -o "$work/SHEET.HTML"
if grep -q '<html' "$work/SHEET.HTML"; then good; else bad "an ending in capitals is not seen"; fi
for choice in "as text, html, pdf or svg" "page a4 or letter"; do
    try 2 write batch-sheet $own --${choice%% *} other
    if grep -q "takes ${choice#* }, not other" "$work/err"; then good; else bad "what --${choice%% *} takes: $(cat "$work/err")"; fi
done
{ echo 'waterleaf 1'; seq -f 'let wrong-%g = 4 %%' 300; } >"$work/many.wleaf"
try 1 check "$work/many.wleaf"
if [ "$(tail -n 1 "$work/out")" = "There are 100 more. Mend these first." ]; then good; else bad "that there are more messages is not said"; fi
echo before >"$work/kept.html"
try 2 write batch-sheet $own -o "$work/no-folder/sheet.html"
try 2 write batch-sheet $own -o /dev/full
try 1 write batch-sheet "$work/wrong.wleaf" -o "$work/kept.html"
if [ "$(cat "$work/kept.html")" = before ]; then good; else bad "a failed write changed what was there"; fi
{ "$program" list units; echo $? >"$work/status"; } 2>"$work/err" | true
if [ "$(cat "$work/status")" -le 2 ]; then good; else bad "a closed pipe ends it with $(cat "$work/status")"; fi

# ---- the page is well formed ----

if command -v xmllint >/dev/null 2>&1; then
    if xmllint --html --noout "$work/sheet.html" 2>&1 | grep -v 'Tag .* invalid' | grep -q 'error'; then bad "the page has errors"; else good; fi
fi

# ---- a mark that cannot be drawn is refused in every form ----

cp -R examples "$work/marked"
printf '<svg xmlns="http://www.w3.org/2000/svg" width="9" height="9"><image href="http://example.invalid/a.png"/></svg>' >"$work/marked/mills/wrenfold.svg"
for form in text html pdf; do
    "$program" write labels "$work/marked/botanical.wleaf" BR-047 --as $form -o "$work/marked.out" 2>"$work/err" </dev/null
    found=$?
    if [ $found -eq 2 ] && grep -q 'The mark .* cannot be drawn' "$work/err" && [ ! -e "$work/marked.out" ]; then good; else bad "a mark that asks for something outside, as $form: $found, $(head -n 2 "$work/err")"; fi
done

counted commands
