#!/bin/sh
# start: what it writes is checked, tidy and ready to print, for every kind of paper and many answers; a wrong answer is told and, on a
# terminal, asked for again; it writes all or nothing, and over nothing. WATERLEAF_UPDATE writes tests/golden/start anew.
# Usage: tests/commands/start.sh [PROGRAM]
# shellcheck source=tests/script.sh
. "$(dirname "$0")/../script.sh"
program=${1:-$root/build/waterleaf}
golden=$root/tests/golden/start
cd "$work" || exit 2
day=2027-03-01

# Runs start: the exit status that it must have, and its arguments. What it says is in out and err.
try() {
    status=$1
    shift
    "$program" start --on $day "$@" >out 2>err </dev/null
    found=$?
    if [ "$found" -eq "$status" ]; then good; else bad "start $*: exit status $found, not $status: $(head -n 3 err)"; fi
}
says() { if grep -qF -- "$1" out err; then good; else bad "'$1' was to be said, and was: $(head -c 400 out err)"; fi; }
nothing() { if [ -e "$1" ]; then bad "$1 was left behind: $(ls -A "$1")"; else good; fi; }

# The scripts of a folder are without a message and tidy.
sound() {
    said=$("$program" check --strict --short --on $day "$1" 2>&1) || said="$said (exit status)"
    expect "check $1" "$said" ''
    said=$("$program" tidy --check "$1" 2>&1) || said="$said (exit status)"
    expect "tidy --check $1" "$said" ''
}

# ---- nothing is told: all of it is an example, and it is said so ----

try 0 my-mill
expect 'what is said to standard error' "$(cat err)" ''
says 'Taken for an example: mill A First Mill, mould wove, size 15 in by 22 in'
sound my-mill
if [ -n "$WATERLEAF_UPDATE" ]; then cp my-mill/*.wleaf "$golden" && cp out "$golden/said.txt"; fi
for file in mill first-watercolour; do
    if cmp -s "$golden/$file.wleaf" "my-mill/$file.wleaf"; then good; else bad "$file.wleaf is another: $(diff "$golden/$file.wleaf" my-mill/$file.wleaf | head -n 5)"; fi
done
if cmp -s "$golden/said.txt" out; then good; else bad "another is said: $(diff "$golden/said.txt" out)"; fi
expect 'what is in the folder' "$(ls -A my-mill)" "$(printf 'first-watercolour.wleaf\nmill.wleaf')"

# What it says to do next can be done.
sed -n 's/^  waterleaf //p' out >next
expect 'how much there is to do next' "$(wc -l <next)" 3
while read -r line; do
    # shellcheck disable=SC2086
    if "$program" $line >said 2>&1 </dev/null; then good; else bad "waterleaf $line: $(head -n 2 said)"; fi
done <next
if [ -s first-watercolour.pdf ]; then good; else bad 'there is no batch sheet to print'; fi

# ---- nothing is written over ----

cp -r my-mill before
try 2 my-mill
says 'my-mill is there already and is not empty'
try 2 my-mill/ --yes
if diff -r before my-mill >/dev/null; then good; else bad 'what was there is another now'; fi
touch plain
try 2 plain
ln -s nowhere link
try 2 link
mkdir hidden && touch hidden/.kept
try 2 hidden
expect 'what is in a folder with something hidden' "$(ls -A hidden)" .kept
mkdir empty
try 0 empty
sound empty
try 2 none/new
says 'the folder that it should stand in is not there'
try 2
try 2 ''
try 2 one two
nothing one

# ---- a disk that is full, a folder that is closed ----

# Where files can hold nothing what is said must go through a pipe.
full() { (ulimit -f 0 && trap '' XFSZ && "$program" start --on $day "$1" </dev/null 2>&1 || echo "status $?") | cat >err; }
: >out
full full
says 'status 2'
says 'What was begun was taken away again'
nothing full
mkdir kept
full kept
says 'status 2'
expect 'what a full disk left in a folder that was there' "$(ls -A kept)" ''
"$program" start --on $day told >/dev/full 2>err </dev/null
expect 'exit status where the last word cannot be said' $? 2
if [ "$(id -u)" -ne 0 ]; then
    mkdir closed && chmod 555 closed
    try 2 closed/new
    nothing closed/new
fi

# ---- little memory: both scripts, or no folder ----

# As far down as the program itself still loads.
# shellcheck disable=SC3045
within() { (ulimit -v "$1" && shift && exec "$program" "$@") >out 2>err </dev/null; }
room=16000
{ while [ $room -gt 1000 ] && within $room --version; do room=$((room - 250)); done; } 2>/dev/null
while [ $room -le 16000 ]; do
    room=$((room + 250))
    within $room start --on $day little
    found=$?
    if [ -e little ]; then
        expect "the scripts within $room KiB" "$(cat little/*)" "$(cat my-mill/*)"
        rm -r little
    elif [ $found -ne 0 ]; then good; else bad "nothing is written within $room KiB, and nothing is said"; fi
done

# ---- wrong answers are told in the checker's words ----

refused() {
    message=$1
    shift
    try 1 "$@" wrong
    says "$message"
    nothing wrong
}
refused size-of-lengths --size '3 kg by 4 kg'
refused wrong-kind --vat '3 kg'
refused number-without-unit --grammage 300
refused does-not-fit --grammage '5000 g/m²'
refused comma-in-number --beater '1,500 L'
refused unknown --scale '1 grain-of-sand'
refused 'This is none of' --mould woven
refused '--kind' --kind tea
refused 'There is nothing in it' --mill ''
refused 'cannot be seen' --mill "$(printf 'a\033[2J')"
refused 'cannot be seen' --mill "$(printf 'a\nend')"
refused 'cannot be seen' --paper "$(printf 'a\342\200\256b')"
refused 'A value is wanted' --vat '60 L # and more'
refused 'A value is wanted' --vat '60 L:'
refused "The mill's script is called so" --paper Mill
try 2 wrong --sheets none
try 2 wrong --page a5
nothing wrong

# ---- a text may say anything that can be seen ----

number=0
while IFS= read -r title; do
    number=$((number + 1))
    try 0 "text-$number" --mill "$title" --paper "x$title"
    sound "text-$number"
    paper=$(ls "text-$number"/x*.wleaf)
    "$program" weigh --json --on $day "$paper" >out 2>err
    expect 'the title of the paper' "$(jq -r '.papers[0].title' out)" "x$title"
done <<'TITLES'
O'Neil & Daughters "by the ford"
C:\mills\new {paper} }{ {{
Büttenwerk “Süd” № 3
בית הנייר
紙屋 — kami #? mill
$(touch stolen) `touch stolen`; touch stolen
TITLES
nothing stolen

# ---- every kind, with many answers: without a message, tidy, and each document can be written ----

# KIND SIZE GRAMMAGE SHEETS BEATER VAT SCALE PAGE MOULD
one() {
    folder=paper-$((number += 1))
    try 0 $folder --kind "$1" --size "$2" --grammage "$3" --sheets "$4" --beater "$5" --vat "$6" --scale "$7" --page "$8" --mould "$9" --mill M --paper P
    [ "$found" -eq 0 ] || return
    sound $folder
    if grep -q 'Taken for an example' out; then bad 'all was told, and something is called an example'; else good; fi
    for document in batch-sheet labels spec-sheet; do
        if "$program" write $document $folder/p.wleaf --strict --as text --on $day >said 2>err && [ -s said ] && [ ! -s err ]; then good; else bad "write $document of $*: $(head -n 3 err)"; fi
    done
}
kinds=$("$program" start --help | sed -n 's/^  --kind \([^ ]*\) .*/\1/p' | tr '|' ' ')
expect 'the kinds' "$(echo "$kinds" | wc -w)" "$(find "$root/stdlib/start" -name '*.wleaf' ! -name mill.wleaf | wc -l)"
for kind in $kinds; do
    case $kind in
    watercolour | printmaking) weights='200 300' ;;
    *) weights='100 160' ;;
    esac
    for weight in $weights; do
        one "$kind" '22 in by 30 in' "$weight g/m²" 40 '100 L' '300 L' '0.1 g' letter wove
        one "$kind" '297 mm by 420 mm' "$weight g/m²" 20 '23 L' '60 L' '0.01 g' a4 laid
        one "$kind" '210 mm by 297 mm' "$weight g/m²" 60 '40 L' '100 L' '0.1 g' a4 wove
        one "$kind" '38 cm by 56 cm' "$weight g/m²" 50 '60 L' '150 L' '0.1 g' letter laid
        if [ -n "$WATERLEAF_FULL" ]; then
            for size in '10 in by 14 in' '15 in by 22 in' '500 mm by 700 mm'; do
                for beater in '23 L' '60 L' '100 L'; do
                    for vat in '60 L' '150 L' '400 L'; do one "$kind" "$size" "$weight g/m²" 30 "$beater" "$vat" '0.1 g' a4 wove; done
                done
            done
        fi
    done
done

# The sheet comes out at the size that was asked for, whatever the kind of paper.
for kind in $kinds; do
    try 0 "size-$kind" --kind "$kind" --size '300 mm by 400 mm' --paper P
    expect "the length and width of $kind" "$("$program" weigh --json --on $day "size-$kind/p.wleaf" | jq -r '.papers[0].figures | [."sheet-length", ."sheet-width"] | map(.value | round) | join(" ")')" '300 400'
done

# ---- on a terminal ----

# Types its standard input at a terminal; what is on the terminal is in shown.
typed() { script -qec "\"$program\" start --on $day $1" /dev/null >shown 2>&1; }
shown() { if grep -qF -- "$1" shown; then good; else bad "'$1' was to be shown, and was: $(head -c 600 shown)"; fi; }
if script -qec true /dev/null >/dev/null 2>&1; then
    printf 'Birch "Bend" Mill\n\n15 kg by 3 kg\n22 in by 30 in\n\n\n\nletter\ntea\nbinding\n\n5000 g/m²\n100 g/m²\n25\n' | typed asked
    expect 'exit status on a terminal' $? 0
    shown 'mill [A First Mill]: '
    shown size-of-lengths
    shown 'does-not-fit'
    shown 'grammage [5000 g/m²]: '
    shown 'This is none of'
    sound asked
    expect 'the title' "$(grep Birch asked/mill.wleaf)" '  title "Birch \"Bend\" Mill"'
    expect 'the size' "$(sed -n 's/^let  *finished .*= //p' asked/mill.wleaf)" '22 in by 30 in'
    expect 'the stock' "$(grep ' stock' asked/mill.wleaf)" '  stock letter-six'
    expect 'the wires, taken with Enter' "$(grep ' wires' asked/mill.wleaf)" '  wires    wove  # example'
    # what an option tells is not asked
    printf '\n\n\n\n\n\n\n\n\n' | typed "some --kind drawing --mill M"
    expect 'exit status with some options' $? 0
    if grep -q 'What is the mill called' shown; then bad 'what an option told is asked'; else good; fi
    sound some
    # Enter keeps what is at odds with other answers; then all is asked again, and can be mended
    printf '\n\n\n\n\n\n\n\n\n5000 g/m²\n\n\n\n\n\n\n\n\n\n\n120 g/m²\n\n' | typed again
    expect 'exit status of a second round' $? 0
    shown 'These answers do not go together'
    sound again
    # whoever goes away gets nothing
    printf 'A Mill\n\n' | typed gone
    expect 'exit status of one who went away' $? 2
    shown 'Nothing was written'
    nothing gone
    printf '%2000s\n\n\n\n\n\n\n\n\n\n\n\n' '' | tr ' ' a | typed long
    shown 'longer than'
    echo | typed 'unasked --yes'
    if grep -q 'What is the mill called' shown; then bad '--yes asks'; else good; fi
    sound unasked
else
    echo 'no terminal can be made here: what is asked at one was not looked at'
fi
counted commands/start
