#!/bin/sh
# Pounds a ream against quoted grammages, with the pound, the inch and the reams that stdlib declares.
# Prints each row that differs; exit 1 if any does.

here=$(cd "$(dirname "$0")" && pwd) || exit 2
root=$(cd "$here/../.." && pwd) || exit 2
LC_ALL=C
export LC_ALL

awk -f "$here/units.awk" "$root/stdlib/units.wleaf" | awk -F '\t' -v table="$here/reams.tsv" '
    { factor[$1] = $2 }
    END {
        while ((getline line < table) > 0) {
            if (line ~ /^#/) continue
            split(line, part, "\t")
            ream = factor["ream-" part[4]]
            if (!ream) { print "stdlib/units.wleaf: no ream-" part[4]; failures++; continue }
            area = part[2] * factor["in"] * part[3] * factor["in"]
            found = part[1] * factor["lb"] / factor["g"] / ream / area
            decimals = index(part[5], ".") ? length(part[5]) - index(part[5], ".") : 0
            off = found > part[5] ? found - part[5] : part[5] - found
            # Halves of the last figure; a weight worked out backwards was itself rounded to 0.0005 lb.
            allowed = 0.5 * 10 ^ -decimals + (part[6] ~ /backwards/ ? found * 0.0005 / part[1] : 0)
            if (!(off <= allowed * (1 + 1e-9))) {
                printf "%s lb, %s in by %s in, %s sheets: %.4f g/m2, quoted %s\n", part[1], part[2], part[3], part[4], found, part[5]
                failures++
            }
            compared++
        }
        close(table)
        if (compared < 17) { print "only " compared + 0 " rows were compared"; failures++ }
        if (failures) exit 1
        print "reams: " compared " rows agree"
    }'
