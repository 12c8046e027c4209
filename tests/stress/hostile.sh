#!/bin/sh
# Scripts and packs that mean harm: what they use must lie below their root and be a file, what they say must reach no terminal,
# page or program as anything but words, and no file is opened but what was named. Usage: tests/stress/hostile.sh [PROGRAM]
# shellcheck source=tests/script.sh
. "$(dirname "$0")/../script.sh"
program=${1:-$root/build/waterleaf}
cd "$work" || exit 2

# Runs the program for ten seconds at the most: the exit status, what must be said, and its arguments.
try() {
    status=$1
    says=$2
    shift 2
    timeout 10 "$program" "$@" >said 2>&1 </dev/null
    found=$?
    if [ "$found" -eq "$status" ] && { [ -z "$says" ] || grep -q -- "$says" said; }; then good; else
        bad "$*: exit status $found, not $status; '$says' was to be said, and was: $(head -c 300 said)"
    fi
}

# ---- what is used ----

mkdir -p mill/papers mill/other
touch mill/waterleaf.root
printf 'waterleaf 1\nlet outside = 1\n' >outside.wleaf
printf 'waterleaf 1\nlet inside = 1\n' >mill/other/inside.wleaf
ln -s "$work/outside.wleaf" mill/other/link.wleaf
ln -s "$work" mill/other/up
ln -s /dev/zero mill/other/device.wleaf
ln -s nothing mill/other/dangling.wleaf
ln -s around.wleaf mill/other/around.wleaf
mkfifo mill/other/pipe.wleaf
mkdir mill/other/folder.wleaf
uses() {
    printf 'waterleaf 1\nuse "%s"\n' "$1" >mill/papers/uses.wleaf
    try "$2" "$3" check --short mill/papers/uses.wleaf
}
uses ../other/inside 0 ''
uses ../../outside 1 use-outside
uses ../other/../../outside 1 use-outside
uses "$work/outside" 1 'use-'
uses /etc/passwd 1 'use-'
uses ../other/link 1 use-outside
uses ../other/up/outside 1 use-outside
uses ../other/device 1 'use-'
uses ../other/dangling 1 'use-'
uses ../other/around 1 'use-'
uses ../other/folder 2 'use-'
uses ../other/pipe 2 'use-'
uses '~/outside' 1 'use-'
# shellcheck disable=SC2016
uses '$HOME/outside' 1 'use-'
uses "../other/$(awk 'BEGIN { for (i = 0; i < 5000; i++) printf "a" }')" 1 'use-'

# ---- a mark of the mill that is none ----

cp "$root"/examples/first.wleaf mill/papers/first.wleaf
marked() {
    printf '\nmill invented:\n  title  "An invented mill"\n  mark   "%s"\nend\n' "$1" | cat "$root/examples/first.wleaf" - >mill/papers/marked.wleaf
    sed -i 's/^  grammage .*/&\n  mill      invented/' mill/papers/marked.wleaf
    for form in text html pdf; do
        timeout 20 "$program" write batch-sheet mill/papers/marked.wleaf --as $form >page 2>said </dev/null
        found=$?
        if [ $found -ne 124 ] && [ $found -lt 126 ] && ! grep -aq secret page; then good; else bad "a mark of $1 as $form ends with $found"; fi
        [ "$2" = any ] || expect "a mark of $1 as $form" "$found" "$2"
    done
}
echo 'the secret' >outside.svg
echo 'the secret' >mill/other/words.svg
ln -s "$work/outside.svg" mill/other/link.svg
ln -s /dev/zero mill/other/device.svg
mkfifo mill/other/pipe.svg
marked ../../outside.svg any
marked ../other/link.svg any
marked ../other/device.svg any
marked ../other/pipe.svg any
marked /etc/passwd any
printf '<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" width="9" height="9"><image xlink:href="file://%s/outside.svg" width="9" height="9"/></svg>' "$work" >mill/other/asks.svg
marked ../other/asks.svg any
printf '<?xml version="1.0"?><!DOCTYPE svg [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;&a;&a;"><!ENTITY c "&b;&b;&b;&b;&b;&b;&b;&b;&b;&b;"><!ENTITY d "&c;&c;&c;&c;&c;&c;&c;&c;&c;&c;"><!ENTITY e "&d;&d;&d;&d;&d;&d;&d;&d;&d;&d;"><!ENTITY f "&e;&e;&e;&e;&e;&e;&e;&e;&e;&e;"><!ENTITY s SYSTEM "%s/outside.svg">]><svg xmlns="http://www.w3.org/2000/svg" width="9" height="9"><text>&f;&s;</text></svg>' "$work" >mill/other/swells.svg
marked ../other/swells.svg any
printf '<svg xmlns="http://www.w3.org/2000/svg" width="9" height="9"><script>alert(1)</script><rect width="9" height="9" onclick="alert(1)"/></svg>' >mill/other/acts.svg
marked ../other/acts.svg any

# ---- words that a terminal, a page or a program would obey ----

# Whether FILE holds a sign that must never come out raw: controls but ends of line, tabs and pages, the upper controls, and what turns the direction.
harmless() {
    if LC_ALL=C grep -aqP '[\x00-\x08\x0B\x0D-\x1F\x7F]|\xC2[\x80-\x9F]|\xE2\x80[\xAA-\xAE]|\xE2\x81[\xA6-\xA9]' "$2"; then
        bad "$1 lets a sign through that a terminal obeys"
    else good; fi
}
upper=$(printf '\302\233')31m
turned=$(printf '\342\200\256')
turned_too=$(printf '\342\201\246')
# shellcheck disable=SC2016
markup='<script>alert(1)</script>&amp;\'"'"'\"\\]]>%n$(id)`id`;'
# Whatever of it the language refuses within a text is taken out until it is taken, so that pages are made of the rest.
titled() { sed -e "s|\"Sketch\"|\"Sk$(printf '%s' "$1" | sed 's/[\\&|]/\\&/g')\"|" "$root/examples/first.wleaf"; }
titled "$markup$turned$turned_too" >words.wleaf
"$program" check words.wleaf >/dev/null 2>&1 || titled "$markup" >words.wleaf
try 0 '' check words.wleaf
printf 'batch "n-1":\n  paper   sketch\n  sheets  20\nend\n' >>words.wleaf
titled "$upper$markup$turned" >upper.wleaf
sed 's/100 %/10 %/; s/cotton-linters/zz-top/' words.wleaf >wrong.wleaf
evil=$(printf 'e\033]0;evil\007.wleaf')
cp wrong.wleaf "./$evil"
escape=$(printf 'x\033[31m')
number=0
each() {
    number=$((number + 1))
    timeout 20 "$program" "$@" >"out$number" 2>"err$number" </dev/null
    found=$?
    if [ $found -le 2 ]; then good; else bad "$* ends with $found"; fi
    harmless "$*" "out$number"
    harmless "what $* says" "err$number"
}
for script in words.wleaf upper.wleaf wrong.wleaf "$evil"; do
    for form in '' --short --json --sarif; do
        # shellcheck disable=SC2086
        each check $form "$script"
    done
    each weigh "$script"
    each weigh --json "$script"
    each why "$script" sketch fibre-charge
    each compare "$script" sketch "$escape"
    each tidy --check "$script"
    for form in text html; do
        for document in batch-sheet labels spec-sheet; do each write $document "$script" --as $form; done
    done
    each check "--stdlib" "$escape" "$script"
done
each check "$escape"
each why "$escape"
each list materials "$escape"
each list "$escape"
each "$escape"
each "--$escape"
each check --on "$escape"
each weigh words.wleaf "$escape"
each write batch-sheet words.wleaf "$escape"
each write "$escape" words.wleaf
each write batch-sheet words.wleaf -o "$work/none/$escape"
each write batch-sheet words.wleaf --as "$escape"
if jq -e . <out3 >/dev/null 2>&1; then good; else bad 'what check --json says of it is no JSON'; fi
if jq -e . <out4 >/dev/null 2>&1; then good; else bad 'what check --sarif says of it is no JSON'; fi
"$program" write batch-sheet words.wleaf --as html >page.html 2>/dev/null
expect 'scripts within the page' "$(grep -c '<script' page.html)" 0
expect 'their words on the page' "$(grep -c '&lt;script&gt;' page.html | sed 's/^[1-9][0-9]*$/some/')" some
if xmllint --noout --html page.html 2>/dev/null; then good; else bad 'the page is no HTML'; fi
if "$program" write batch-sheet words.wleaf -o page.pdf 2>/dev/null && pdftotext page.pdf page.txt; then
    LC_ALL=C tr -d '\f' <page.txt >page.words
    harmless 'the PDF' page.words
else
    bad 'no PDF of it'
fi

# ---- what is opened ----

if strace -o /dev/null true 2>/dev/null; then
    cp -r "$root/examples" here
    opened() {
        strace -f -e trace=open,openat,openat2,creat,execve,connect,unlink,rename,renameat,renameat2,mkdir -o trace "$program" "$@" >/dev/null 2>&1 </dev/null
        # what the kernel and C library ask for to start a program is theirs
        sed -n 's/^[0-9]* *//; /execve(/d; /ENOENT/d; s/^\([a-z0-9]*\)([^"]*"\([^"]*\)".*/\2/p' trace |
            grep -vE '^(/etc/ld.so.cache|/lib/|/usr/lib/|/proc/|/sys/|/dev/null$)' | sed "s|^$work/||" | sort -u | tr '\n' ' '
    }
    expect 'files opened by check' "$(opened check here/botanical.wleaf)" 'here/botanical.wleaf here/mills/wrenfold.wleaf '
    expect 'files opened by weigh' "$(opened weigh here/botanical.wleaf)" 'here/botanical.wleaf here/mills/wrenfold.wleaf '
    expect 'files opened by list' "$(opened list materials)" ''
    expect 'files opened by a text' "$(opened write batch-sheet here/botanical.wleaf BR-047 --as text)" 'here/botanical.wleaf here/mills/wrenfold.svg here/mills/wrenfold.wleaf '
    expect 'sockets' "$(grep -c 'connect(' trace)" 0
else
    echo 'strace may not look here: what is opened was not looked at'
fi

counted stress/hostile
