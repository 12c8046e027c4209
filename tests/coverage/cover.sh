#!/bin/sh
# Runs the tests with the build that counts and tells which branches of the sources they take; a branch is one way that a
# condition, a loop or a switch goes on. Generated tables are not counted. `make cover` builds it all and calls this.
#
#   cover.sh            runs the tests; fails where one fails, or a file's share is lower than in least.tsv
#   cover.sh --raise    and writes what is higher into least.tsv
#   cover.sh --again    the table anew, from what was counted last
#   cover.sh --with NAME ...      the same, with what these tests take added to it
#   cover.sh --untaken FILE ...   lines of these sources with a branch that was not taken
#
# A line that ends in the comment `never: WHY` has a branch that nothing can take, `never 3: WHY` has three of them: so many are
# left out. Where more are taken than it says it is a failure: then the comment is wrong. The table stays in build/cover/table.tsv.
cd "$(dirname "$0")/../.." || exit 2
. tests/script.sh
LC_ALL=C.UTF-8
export LC_ALL
cover=build/cover
least=tests/coverage/least.tsv
jumps=$cover/branches.tsv
table=$cover/table.tsv

# What is left out: `mutants`, `growth` and the browser's, which take long; `hostile`, which watches which files are opened;
# `pages/pages`, which builds anew; `faults/programs`, which runs programs of its own.
tests="layers unit/ golden mutations messages limits properties/ faults/faults rules/acceptance rules/examples rules/faults rules/limits
    rules/proposals outside/ editor/ stress/bad-input commands/ pages/html pages/labels pages/layout pages/pictures pages/refused pages/spec-sheet"

# One line a branch: file, line, its place in the line, how often, how often the line. What stands in a header was counted
# by each file that includes it: added up.
count_branches() {
    find "$cover" -name '*.gcda' | sort | while read -r counted; do
        gcov --json-format --stdout --branch-probabilities "$counted" 2>/dev/null
    done | jq -r --arg root "$PWD/" '.files[] | .file as $file | select($file | startswith($root + "src/")) | .lines[] |
        .line_number as $line | .count as $times | .branches | to_entries[] |
        [($file | ltrimstr($root)), $line, .key, .value.count, $times] | @tsv' |
        awk -F '\t' -v OFS='\t' '{ key = $1 OFS $2 OFS $3; taken[key] += $4; times[key] += $5 }
            END { for (key in taken) print key, taken[key], times[key] }' | sort -t "$(printf '\t')" -k 1,1 -k 2,2n -k 3,3n >"$jumps"
}

# The lines with `never: WHY`: file, line, how many branches.
find_never() {
    grep -rnE --include='*.[ch]' '/\* never( [0-9]+)?: .*\*/' src | sed -E 's|^([^:]*):([0-9]+):.*/\* never ?([0-9]*):.*|\1\t\2\t\3|' |
        awk -F '\t' -v OFS='\t' '{ print $1, $2, $3 == "" ? 1 : $3 }' >"$work/never"
}

untaken() {
    for file in "$@"; do
        awk -F '\t' -v file="$file" 'FILENAME ~ /never$/ { never[$1, $2] = $3; next }
            $1 == file && $4 == 0 { bare[$2] = bare[$2] " " $3 (($5 == 0) ? "!" : ""); count[$2]++ }
            END { for (line in bare) if (count[line] > never[file, line]) print line "\t" bare[line] }' "$work/never" "$jumps" |
            sort -n | while IFS="$(printf '\t')" read -r line which; do
            printf '%s:%s [%s ] %s\n' "$file" "$line" "$which" "$(sed -n "${line}p" "$file")"
        done
    done
}

make_table() {
    awk -F '\t' -v OFS='\t' '
        FILENAME ~ /never$/ { never[$1, $2] = $3; next }
        { all[$1]++; taken[$1] += $4 > 0 }
        $4 == 0 { bare[$1, $2]++ }
        END {
            for (line in never) {
                split(line, part, SUBSEP)
                if (!(part[1] in all)) continue # it was not built
                all[part[1]] -= bare[line] < never[line] ? bare[line] : never[line]
                if (bare[line] < never[line]) print part[1] ":" part[2] > "/dev/stderr"
            }
            for (file in all) {
                print file, taken[file], all[file], sprintf("%.2f", int(taken[file] * 10000 / all[file]) / 100)
                every += all[file]; both += taken[file]
            }
            print "all", both, every, sprintf("%.2f", int(both * 10000 / every) / 100)
        }' "$work/never" "$jumps" 2>"$work/wrongly" | sort >"$table"
}

# Each file of least.tsv against the table. A file that is new there has nothing to keep to yet.
hold() {
    while IFS="$(printf '\t')" read -r file share; do
        case $file in '#'* | '') continue ;; esac
        now=$(awk -F '\t' -v file="$file" '$1 == file { print $4 }' "$table")
        if [ -z "$now" ]; then
            [ -e "$file" ] && bad "$file has no branches any more: take its line out of $least" || bad "$file is not there: take its line out of $least"
        elif awk -v now="$now" -v share="$share" 'BEGIN { exit !(now + 0 < share + 0) }'; then
            bad "$file: $now % of its branches are taken; it was $share %. tests/coverage/cover.sh --untaken $file shows them"
        else
            good
        fi
    done <"$least"
    while read -r line; do bad "$line: more of its branches are taken than its comment says can be"; done <"$work/wrongly"
}

raise() {
    {
        sed -n '/^#/p' "$least"
        awk -F '\t' -v OFS='\t' 'FILENAME ~ /least.tsv$/ { least[$1] = $2; next } { print $1, ($1 in least && least[$1] + 0 > $4 + 0) ? least[$1] : $4 }' \
            "$least" "$table"
    } >"$work/raised" && cp "$work/raised" "$least"
}

show_table() { awk -F '\t' '{ printf "%-40s %6d of %6d  %6.2f %%\n", $1, $2, $3, $4 }' "$table"; }

find_never
case $1 in
--untaken)
    shift
    untaken "$@"
    exit
    ;;
--again) count_branches ;;
--with)
    shift
    WATERLEAF_BUILT=$cover tests/run "$@" || bad "the tests fail, built to count"
    count_branches
    ;;
*)
    find "$cover" -name '*.gcda' -delete
    # shellcheck disable=SC2086
    WATERLEAF_BUILT=$cover tests/run $tests >"$work/run" 2>&1 || { cat "$work/run"; bad "the tests fail, built to count"; }
    count_branches
    ;;
esac
make_table
show_table
hold
[ "$1" = --raise ] && raise
counted coverage
