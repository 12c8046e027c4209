#!/bin/sh
# What comes to the program that sets pages and is no document is refused, in its own words, and nothing is put out.
# Usage: tests/pages/refused.sh [PAGES-PROGRAM]

. "$(dirname "$0")/../script.sh"
program=${1:-$root/build/tests/waterleaf-pages}
unset ASAN_OPTIONS # tests/pages/options.c says what is watched

# The lines of what comes in, in which @ is a tab.
give() { printf "$1" | tr '@' '\t' >"$work/in"; }

# WHAT LINES SAYS: it ends with 2, prints nothing, and says what begins so.
refused() {
    give "$2"
    "$program" <"$work/in" >"$work/out" 2>"$work/err"
    found=$?
    if [ $found -eq 2 ] && [ ! -s "$work/out" ] && [ "$(wc -l <"$work/err")" -eq 1 ] && grep -q "^$3" "$work/err"; then good; else bad "$1: exit status $found, $(head -c 200 "$work/err")"; fi
}

head='waterleaf-pages 2\nas pdf\npage a4\n'
root_line='root@0@0@@Title@@\n'
words='paragraph@0@0@@Words@@\n'
no='What came in is no document to set.'

give "$head${root_line}part@0@0@@these@small@\n${words}end\nend\n"
"$program" <"$work/in" >"$work/out" 2>"$work/err"
expect 'exit status of a document' $? 0
expect 'what is said of a document' "$(cat "$work/err")" ''

refused 'nothing' '' "$no"
refused 'no end of a line' 'waterleaf-pages 2' "$no"
refused 'another version' "waterleaf-pages 1\nas pdf\n${root_line}end\n" "$no"
refused 'no document behind the wishes' "$head" "$no"
refused 'what stands in no root' "$head${words}end\n" "$no"
refused 'a form that there is not' "$head${root_line}leaf@0@0@@Words@@\nend\n" "$no"
refused 'a level that is no number' "$head${root_line}paragraph@one@0@@Words@@\nend\n" "$no"
refused 'a level with more behind it' "$head${root_line}paragraph@1a@0@@Words@@\nend\n" "$no"
refused 'a level that is too large' "$head${root_line}paragraph@4294967296@0@@Words@@\nend\n" "$no"
refused 'too few fields' "$head${root_line}paragraph@0@0@Words\nend\n" "$no"
refused 'numbers that are none' "$head${root_line}paragraph@0@0@@Words@@one\nend\n" "$no"
refused 'numbers without an end' "$head${root_line}paragraph@0@0@@Words@@inf\nend\n" "$no"
refused 'numbers parted by two blanks' "$head${root_line}paragraph@0@0@@Words@@1  2\nend\n" "$no"
refused 'numbers with letters behind' "$head${root_line}paragraph@0@0@@Words@@1a\nend\n" "$no"
refused 'a picture that was not there before' "$head${root_line}image@0@0@image/png@mark@=0@20 20\nend\n" "$no"
refused 'no end' "$head${root_line}${words}" "$no"
refused 'something behind the end' "$head${root_line}${words}end\nend\n" "$no"
refused 'bytes that are no UTF-8' "$head${root_line}paragraph@0@0@@Wo\377rds@@\nend\n" "$no"
refused 'the first half of a sign' "$head${root_line}paragraph@0@0@@Wo\303\n" "$no"
refused 'a date that is none' "waterleaf-pages 2\nas pdf\npage a4\ndate soon\n${root_line}end\n" 'SOURCE_DATE_EPOCH is soon'
refused 'a date with more behind it' "waterleaf-pages 2\nas pdf\npage a4\ndate 1x\n${root_line}end\n" 'SOURCE_DATE_EPOCH is 1x'
refused 'a date beyond all years' "waterleaf-pages 2\nas pdf\npage a4\ndate 9223372036854775807\n${root_line}end\n" 'SOURCE_DATE_EPOCH is 9223372036854775807'

# The sign for what could not be read is a sign like any.
give "${head}date 1772323200\n${root_line}part@0@0@@these@small@\nparagraph@0@0@@Wo\357\277\275rds@@\nend\nend\n"
"$program" <"$work/in" >"$work/out" 2>"$work/err"
expect 'exit status of a document with that sign' $? 0

counted pages/refused
