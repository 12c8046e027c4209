#!/bin/sh
# Regain and moisture: the quoted pairs agree with W = R / (1 + R), materials state the trade regain that
# their row quotes, and none of them takes it for the moisture of its store.
# Prints each row that differs; exit 1 if any does.

here=$(cd "$(dirname "$0")" && pwd) || exit 2
root=$(cd "$here/../.." && pwd) || exit 2
LC_ALL=C
export LC_ALL

awk -v table="$here/regain.tsv" '
    function wrong(text) { print text; failures++ }
    $1 == "material" { material = $2; sub(/:$/, "", material) }
    $1 == "end" { material = "" }
    material != "" && $1 == "trade-regain" { regain[material] = $2; states++ }
    material != "" && $1 == "moisture" { moisture[material] = $2 }
    END {
        while ((getline line < table) > 0) {
            if (line ~ /^#/) continue
            split(line, part, "\t")
            found = 100 * part[2] / (100 + part[2])
            off = found > part[3] ? found - part[3] : part[3] - found
            if (!(off <= 0.00006)) wrong(part[1] ": regain " part[2] " % is a moisture of " found " %, quoted " part[3])
            compared++
            if (part[4] == "-") continue
            count = split(part[4], names, " ")
            for (i = 1; i <= count; i++) {
                if (!(names[i] in regain)) { wrong("stdlib: material " names[i] " has no trade-regain"); continue }
                if (regain[names[i]] + 0 != part[2] + 0) wrong("stdlib: material " names[i] " has the regain " regain[names[i]] ", quoted " part[2])
                if (moisture[names[i]] + 0 == regain[names[i]] + 0) wrong("stdlib: material " names[i] " takes its trade regain for its moisture")
                held++
            }
        }
        close(table)
        for (name in regain) left++
        if (left != held) wrong(left - held " materials state a trade regain that regain.tsv does not quote")
        if (compared < 8) wrong("only " compared + 0 " rows were compared")
        if (failures) exit 1
        print "regain: " compared " rows agree, and " held " materials"
    }' "$root"/stdlib/materials/*.wleaf
