#!/bin/sh
# The guide (examples/guide/) is so: its pages are followed in order, in one folder, as a reader would. What stands in
# a block is typed, and what comes out must be what the page shows. Usage: tests/commands/guide.sh [PROGRAM]
#
#     ```wleaf file=lark.wleaf            writes that script; a "line 9" of which the paragraph above it tells must be new
#     ```wleaf file=lark.wleaf line=7     puts these lines in the place of line 7 (or 7-9), until the next command has run;
#                                         the paragraph above it must say "line 7" (or "lines 7 to 9"), and they must
#                                         begin as those did, in any order: a number that is one off is found
#     ```console                          a command behind "$ ", and what it prints; status=1 where it finds a mistake.
#                                         A line of … stands for any lines, blank lines at the end are not looked at
#
# With WATERLEAF_UPDATE what the commands print is written into the pages anew, cut where it was cut.

. "$(dirname "$0")/../script.sh"
program=${1:-$root/build/waterleaf}
case $program in */*) ;; *) program=$(command -v "$program") ;; esac
PATH=$(cd "$(dirname "$program")" && pwd):$PATH
export PATH

# ---- one block ----

# A script: NAME BLOCK.
write_script() {
    case $1 in
    *[!a-z0-9.-]* | .*) bad "$page: no name for a script: $1" ;;
    *.wleaf)
        for told in $(grep -io 'line [0-9][0-9]*' "$2.before" | tr -dc '0-9\n'); do
            sed -n "${told}p" "$2" >"$work/new"
            if [ -s "$work/new" ] && ! grep -qxF -f "$work/new" "$folder/$1"; then good; else bad "$page: line $told of $1 is not new"; fi
        done
        cp "$2" "$folder/$1" && good
        ;;
    *) bad "$page: no name for a script: $1" ;;
    esac
}

# How lines begin, with their first two letters.
beginnings() { awk '{ print substr($1, 1, 2) }' | sort | tr '\n' ' '; }

# Other lines in the place of some: NAME LINES BLOCK.
change_script() {
    first=${2%-*}
    last=${2#*-}
    told="line $first"
    [ "$first" = "$last" ] || told="lines $first to $last"
    if ! grep -qi "$told\\>" "$3.before"; then
        bad "$page: above the change of $1 the text does not say $told"
    elif [ ! -e "$folder/$1" ]; then
        bad "$page: there is no $1 to be changed"
    else
        expect "$page: $told of $1 begin, and those in their place" "$(beginnings <"$3")" "$(sed -n "$first,${last}p" "$folder/$1" | beginnings)"
        cp "$folder/$1" "$folder.kept/$1"
        awk -v first="$first" -v last="$last" -v block="$3" '
            NR == first { while ((getline line <block) > 0) { print line } }
            NR < first || NR > last' "$folder.kept/$1" >"$folder/$1"
        good
    fi
}

# What is found, cut where the page cut it: SHOWN FOUND. Between two cuts, from the line that begins as the first shown
# there; the lines behind the last cut are the last ones.
cut_alike() {
    awk '
        FILENAME == ARGV[1] { shown[++many] = $0; next }
        { found[++count] = $0 }
        function begin(line) { sub(/^ */, "", line); gsub(/[0-9]/, "", line); return substr(line, 1, 20) }
        END {
            at = 1
            for (w = 1; w <= many; w = end + 1) {
                for (end = w; end <= many && shown[end] != "…"; end++) { }
                length_of = end - w
                if (w > 1 && end > many) {
                    at = count - length_of + 1
                } else if (w > 1) {
                    for (i = at; i <= count && begin(found[i]) != begin(shown[w]); i++) { }
                    at = i
                }
                last = many > 0 && end > many ? count : at + length_of - 1
                for (; at <= last && at <= count; at++) { print found[at] }
                if (end <= many) { print "…" }
            }
            if (many == 0) { for (i = 1; i <= count; i++) { print found[i] } }
        }' "$1" "$2"
}

# Where a line of stdlib stands changes with each edit of stdlib, and says nothing to the reader.
unmarked() { sed 's/\(stdlib[^ ]*, line\) [0-9]*/\1 N/g' "$1"; }

# A command and what it prints: STATUS BLOCK.
try() {
    command=$(sed -n '1s/^\$ //p' "$2")
    sed 1d "$2" >"$work/shown"
    case $command in
    waterleaf\ *) ;;
    *)
        bad "$page: a block of the console begins with a command, as \$ waterleaf check"
        return
        ;;
    esac
    (cd "$folder" && sh -c "$command") </dev/null >"$work/said" 2>&1
    status=$?
    awk '/^$/ { blank++; next } { for (; blank > 0; blank--) { print "" } print }' "$work/said" >"$work/found"
    if [ "$status" -eq "$1" ]; then good; else bad "$page: $command ends with $status, not with $1"; fi
    if [ -n "$updating" ]; then
        { sed -n 1p "$2" && cut_alike "$work/shown" "$work/found"; } >"$2.new"
    elif unmarked "$work/shown" >"$work/wanted" && unmarked "$work/found" >"$work/true" && matches "$work/wanted" "$work/true"; then
        good
    else
        bad "$page: $command prints something else"
        diff "$work/wanted" "$work/true" | head -n 12 | sed 's/^/    /'
    fi
    is_written "$command"
}

# What a command writes with -o is there, and a PDF is one.
is_written() {
    out=$(printf '%s\n' "$1" | sed -n 's/.* -o \([^ ]*\).*/\1/p')
    case $out in
    "") ;;
    *.pdf) if [ "$(head -c 5 "$folder/$out" 2>"$work/lost")" = %PDF- ]; then good; else bad "$page: $out is no PDF"; fi ;;
    *.txt | *.html) if [ -s "$folder/$out" ]; then good; else bad "$page: $out was not written"; fi ;;
    *) bad "$page: $out has an ending that says nothing" ;;
    esac
}

# ---- a page ----

# Each block of a page, in order: FILE.
follow() {
    page=$(basename "$1")
    rm -rf "$work/blocks"
    blocks "$1" "$work/blocks"
    for is in "$work/blocks"/*.is; do
        [ -e "$is" ] || continue
        block=${is%.is}
        read -r what name more <"$is"
        name=${name#file=}
        case $what,$name,$more in
        wleaf,?*,line=?*) change_script "$name" "${more#line=}" "$block" ;;
        wleaf,?*,) write_script "$name" "$block" ;;
        console,,) try 0 "$block" ;;
        console,status=[12],) try "${name#status=}" "$block" ;;
        *) bad "$page: a block that nobody runs: $(cat "$is")" ;;
        esac
        if [ "$what" = console ]; then
            for kept in "$folder.kept"/*; do
                [ -e "$kept" ] && mv "$kept" "$folder/"
            done
        fi
    done
}

# Scripts are in their one form after each page; from the page on which the paper is done nothing may be said of them.
is_clean() {
    if (cd "$folder" && waterleaf tidy --check) >"$work/said" 2>&1; then good; else bad "$page: $(cat "$work/said")"; fi
    case $page in 0*) return ;; esac
    (cd "$folder" && waterleaf check --strict) >"$work/said" 2>&1
    if [ -s "$work/said" ]; then
        bad "$page: something is said of its scripts"
        head -n 6 "$work/said"
    else
        good
    fi
}

# The page with what was found: FILE.
update() {
    awk -v folder="$work/blocks" '
        /^```/ {
            inside = !inside
            skipping = 0
            print
            file = sprintf("%s/%03d.new", folder, number += inside)
            while (inside && (getline line <file) > 0) { print line; skipping = 1 }
            next
        }
        !skipping' "$1" >"$work/page" && cp "$work/page" "$1"
}

# All pages of a folder, as the reader follows them: FOLDER.
follow_all() {
    rm -rf "$folder" "$folder.kept"
    mkdir -p "$folder" "$folder.kept"
    for file in "$1"/[0-9]*.md; do
        follow "$file"
        is_clean
        [ -z "$updating" ] || update "$file"
    done
}

guide=$root/examples/guide
folder=$work/paper
updating=${WATERLEAF_UPDATE:-}
follow_all "$guide"
[ -z "$updating" ] || follow_all "$guide" >"$work/lost"

# ---- the list of pages names them all ----

for file in "$guide"/[0-9]*.md; do
    if grep -q "($(basename "$file"))" "$guide/README.md"; then good; else bad "$(basename "$file") is not in the list of pages"; fi
done

# ---- before the pages: what is typed to build is there, and the program alone answers as is told ----

sed -n 's/^    \(sudo \)*make //p' "$guide/README.md" >"$work/made"
while read -r made; do
    if grep -q "^$made:" "$root/Makefile"; then good; else bad "the guide builds with make $made, which is not there"; fi
done <"$work/made"
expect "commands to build" "$(wc -l <"$work/made" | tr -d ' ')" 2
begins=$(tr '\n' ' ' <"$guide/README.md" | sed -n 's/.*the answer begins with "\([^"]*\)".*/\1/p')
case $(waterleaf 2>&1) in
"${begins:-(nothing)}"?*) good ;;
*) bad "waterleaf alone does not begin with $begins" ;;
esac

# ---- a page that is not so is found: in each, one sign is added to the last line that a command prints ----

updating=
altered=0
mkdir "$work/altered"
for file in "$guide"/[0-9]*.md; do
    awk '
        { lines[NR] = $0 }
        /^```/ { console = $0 ~ /^```console/ && !console; next }
        console && !/^\$ / && !/^…$/ && !/^$/ { last = NR }
        END { for (i = 1; i <= NR; i++) { print lines[i] (i == last ? "!" : "") } exit last == 0 }' \
        "$file" >"$work/altered/$(basename "$file")" && altered=$((altered + 1))
done
expect "pages with a command that prints something" "$altered" "$(find "$guide" -name '[0-9]*.md' | wc -l | tr -d ' ')"
noticed=$(
    failed=0
    follow_all "$work/altered" >"$work/lost"
    echo "$failed"
)
expect "of the altered pages those that were noticed" "$noticed" "$altered"
counted commands/guide
