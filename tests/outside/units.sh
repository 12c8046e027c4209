#!/bin/sh
# Units of stdlib against two judges that know nothing of them: the program GNU units
# (Debian package `units`), and the factors that NIST SP 811 prints.
#
# The factors are read twice: from the text of stdlib/units.wleaf (units.awk), and, where the
# program is built, from `waterleaf list units --json`. Prints each row that differs; exit 1 if any does.
# Usage: tests/outside/units.sh [PROGRAM], from anywhere.

here=$(cd "$(dirname "$0")" && pwd) || exit 2
root=$(cd "$here/../.." && pwd) || exit 2
program=${1:-$root/build/waterleaf}
LC_ALL=C
export LC_ALL
tab=$(printf '\t')

command -v units >/dev/null 2>&1 || {
    echo "units.sh: GNU units is not installed (Debian package: units)" >&2
    exit 2
}
work=$(mktemp -d) || exit 2
trap 'rm -rf "$work"' EXIT
trap 'exit 2' INT TERM HUP

awk -f "$here/units.awk" "$root/stdlib/units.wleaf" >"$work/declared" || exit 1
: >"$work/failures"

# What GNU units says of each row of units.tsv: NAME, FACTOR, how.
grep -v '^#' "$here/units.tsv" | while IFS=$tab read -r name have want how source; do
    case $name in
    '') continue ;;
    esac
    answer=$(units -t --digits 15 "$have" "$want" 2>&1)
    case $answer in
    [0-9]*) printf '%s\t%s\t%s\n' "$name" "$answer" "$how" ;;
    *) echo "units.tsv: $name: GNU units does not know '$have' in '$want': $answer" >>"$work/failures" ;;
    esac
done >"$work/outside"

# One factor list against the outside one: WHICH FILE.
compare() {
    awk -F '\t' -v which="$1" '
        FILENAME == ARGV[1] { ours[$1] = $2; next }
        {
            rows[$1] = 1
            if (!($1 in ours)) { print which ": no unit " $1 ", which units.tsv has"; next }
            allowed = $3 != "exact" ? 1e-6 : which ~ /list/ ? 1e-11 : 1e-12 # the program prints 12 digits
            off = ours[$1] / $2 - 1
            if (off < 0) off = -off
            if (!(off <= allowed)) printf "%s: %s is %.15g, GNU units says %.15g\n", which, $1, ours[$1], $2
            seen++
        }
        END {
            for (name in ours) if (!(name in rows)) print which ": " name " has no row in units.tsv"
            if (seen < 80) print which ": only " seen + 0 " units were compared"
        }' "$2" "$work/outside" >>"$work/failures"
    # What NIST prints: ours must round to it.
    awk -F '\t' -v which="$1" '
        FILENAME == ARGV[1] { ours[$1] = $2; next }
        /^#/ { next }
        {
            if (!($1 in ours)) { print which ": no unit " $1 ", which units-nist.tsv has"; next }
            decimals = index($2, "E") - 1 - index($2, ".")
            half = 0.5 * 10 ^ (substr($2, index($2, "E") + 1) - decimals) # of the last figure printed
            off = ours[$1] - $2
            if (off < 0) off = -off
            if (!(off <= half * (1 + 1e-9))) printf "%s: %s is %.12g %s, %s prints %s\n", which, $1, ours[$1], $3, $4, $2
            seen++
        }
        END { if (seen < 40) print which ": only " seen + 0 " rows of NIST were compared" }' \
        "$2" "$here/units-nist.tsv" >>"$work/failures"
}
compare "stdlib/units.wleaf" "$work/declared"

# Temperatures are points: a few of them, through both scales, against GNU's own functions.
for row in '°C tempC 43' '°C tempC -40' '°C tempC 100' '°F tempF 110' '°F tempF -40' '°F tempF 212'; do
    set -- $row
    kelvin=$(units -t --digits 15 "$2($3)" K)
    awk -F '\t' -v name="$1" -v reading="$3" -v kelvin="$kelvin" '
        $1 == name {
            found = 1
            ours = reading * $2 + $3
            off = ours / kelvin - 1
            if (off < 0) off = -off
            if (!(off <= 1e-12)) printf "stdlib/units.wleaf: %s %s is %.15g K, GNU units says %.15g\n", reading, name, ours, kelvin
        }
        END { if (!found) print "stdlib/units.wleaf: no unit " name }' "$work/declared" >>"$work/failures"
done

# What the program itself believes: "name", "factor" of each unit in its JSON.
if [ -x "$program" ]; then
    if "$program" list units --json >"$work/json"; then
        sed 's/},[ ]*{/}\
{/g' "$work/json" | awk '
            {
                name = factor = ""
                if (match($0, /"name": *"[^"]*"/)) { name = substr($0, RSTART, RLENGTH); sub(/^"name": *"/, "", name); sub(/"$/, "", name) }
                if (match($0, /"factor": *[-+0-9.eE]+/)) { factor = substr($0, RSTART, RLENGTH); sub(/^"factor": */, "", factor) }
                if (name != "" && factor != "") print name "\t" factor
            }' >"$work/all"
        # Base units and those that only compare have no row outside.
        awk -F '\t' 'FILENAME == ARGV[1] { known[$1] = 1; next } $1 in known' "$work/declared" "$work/all" >"$work/program"
        compare "waterleaf list units" "$work/program"
    else
        echo "waterleaf list units --json failed" >>"$work/failures"
    fi
fi

if [ -s "$work/failures" ]; then
    cat "$work/failures"
    exit 1
fi
echo "units: $(wc -l <"$work/outside" | tr -d ' ') agree with GNU units, $(grep -vc '^#' "$here/units-nist.tsv") with NIST SP 811"
