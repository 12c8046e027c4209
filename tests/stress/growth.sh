#!/bin/sh
# Input that is made to cost more than its length: twice as much of it must cost at most 2.2 times as many instructions (counted by valgrind's
# callgrind, so that no clock is asked), what starting costs taken off. Of the long tier, as each takes seconds.
# growth.sh --show WORD COUNT prints such an input.
# shellcheck source=tests/script.sh
. "$(dirname "$0")/../script.sh"
program=$root/build/waterleaf

# A script of the sort WORD, of COUNT parts.
input() {
    awk -v word="$1" -v count="$2" -v first="$root/examples/first.wleaf" '
        function each(text, i) { for (i = 1; i <= count; i++) { line = text; gsub(/@-/, (i - 1), line); gsub(/@/, i, line); printf "%s", line } }
        function paper(i, inside, line) {
            while ((getline line < first) > 0) {
                if (line == "waterleaf 1") continue
                sub(/sketch/, "sketch-" i, line); sub(/Sketch/, "Sketch " i, line)
                print line
                if (inside != "" && line ~ /^    add/) print inside
            }
            close(first)
        }
        BEGIN {
            if (word != "no-edition") print "waterleaf 1"
            if (word == "lets") { print "let a-0 = 1"; each("let a-@ = a-@- + 1\n") }
            else if (word == "unknown") each("let a-@ = zz-@\n")
            else if (word == "misspelt") { each("let rather-long-name-@ = 1\n"); for (i = 0; i < 90; i++) print "let b-" i " = rather-lnog-name-" i }
            else if (word == "twice") each("let a = @\n")
            else if (word == "values") { print "let a = least("; each("  @,\n"); print "  1)" }
            else if (word == "wide") { printf "note \"a\""; each(", \"a\""); print "" }
            else if (word == "pieces") { printf "note \""; each("{1}"); print "\"" }
            else if (word == "escapes") { printf "note \""; each("\\\""); print "\"" }
            else if (word == "text-open") each("note \"a\n")
            else if (word == "comments") each("# @\n")
            else if (word == "comment") { printf "# "; each("@ "); print "" }
            else if (word == "blanks") each("\n")
            else if (word == "ends") each("end\n")
            else if (word == "colons") each("paper a-@:\n")
            else if (word == "moulds") each("mould m-@:\n  title \"M @\"\n  opening 5 in by 7 in\nend\n")
            else if (word == "signs") each("@ @ \302\260 ; ! ~\n")
            else if (word == "bytes") each("\200")
            else if (word == "kinds") each("kind k-@\n")
            else if (word == "notes") each("note \"a {1 + 1} b\"\n")
            else if (word == "units") each("let a-@ = 1 g/m\302\262 + 1 kg/m\302\262\n")
            else if (word == "wrong-units") each("let a-@ = 1 g + 1 mm\n")
            else if (word == "products") { print "let a-0 = 1 g"; each("let a-@ = a-@- * 1 mm / 1 s\n") }
            else if (word == "table") { print "table t:\n  columns word as text, other as ratio"; each("  row \"a-@\" @\n"); print "end" }
            else if (word == "rules") { paper(1, ""); each("rule r-@:\n  require sheets-good > 0\n  says \"None.\"\nend\n") }
            else if (word == "wrong-rules") { paper(1, ""); each("rule r-@:\n  require sheets-good < 0\n  says \"None.\"\nend\n") }
            else if (word == "papers") for (i = 1; i <= count; i++) paper(i, "")
            else if (word == "additions") { inside = ""; for (i = 1; i <= count; i++) inside = inside "    add         chalk           0.001 % on fibre, as slurry of 20 % w/w\n"; paper(1, inside) }
            else if (word == "batches") { paper(1, ""); each("batch \"b-@\":\n  paper   sketch-1\n  sheets  20\nend\n") }
            else if (word == "no-edition") each("let a-@ = 1\n")
        }'
}
if [ "$1" = --show ]; then
    input "$2" "$3"
    exit
fi
if [ -z "$WATERLEAF_FULL" ]; then
    echo 'skipped: of the long tier (tests/run --full)'
    exit 0
fi
command -v valgrind >/dev/null || { echo 'skipped: valgrind is not there'; exit 0; }

# Instructions that a command takes: COMMAND. Its exit status is its own affair, but for a crash.
instructions() {
    valgrind --tool=callgrind --callgrind-out-file=/dev/null "$program" "$@" >/dev/null 2>"$work/valgrind"
    [ $? -le 2 ] || bad "$* crashed"
    awk '/Collected/ { print $NF }' "$work/valgrind"
}

# WORD, COUNT and the command.
grows() {
    word=$1
    count=$2
    shift 2
    input "$word" 0 >"$work/none.wleaf"
    input "$word" "$count" >"$work/once.wleaf"
    input "$word" $((2 * count)) >"$work/twice.wleaf"
    none=$(instructions "$@" "$work/none.wleaf")
    once=$(instructions "$@" "$work/once.wleaf")
    twice=$(instructions "$@" "$work/twice.wleaf")
    ratio=$(awk "BEGIN { printf \"%.2f\", ($twice - $none) / ($once - $none + 1) }")
    if awk "BEGIN { exit !($ratio <= 2.2) }"; then good; else
        bad "$* of $word: twice $count cost $ratio times as much ($((once - none)), $((twice - none)) instructions)"
    fi
    [ -z "$SHOW" ] || echo "$* $word $count: $((once - none)) instructions, twice: $ratio"
}
for word in lets unknown misspelt twice values wide pieces escapes text-open comments comment blanks ends colons moulds signs notes units wrong-units no-edition; do
    grows $word 2000 check --short
done
grows bytes 100000 check --short
grows kinds 1000 check --short
grows products 100 check --short
grows table 1000 check --short
grows rules 100 check --short
grows wrong-rules 100 check --short
grows papers 10 check --short
grows additions 40 check --short
grows batches 10 check --short
for word in lets wide values pieces comments moulds units; do grows $word 2000 tidy --check; done
for word in unknown wrong-units; do
    grows $word 2000 check --json
    grows $word 2000 check --sarif
done
counted stress/growth
