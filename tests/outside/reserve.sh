#!/bin/sh
# What stdlib says of alkaline reserve, against molar masses from the standard atomic weights.
#
# Each row of reserve.tsv is worked out from its formula and held against the figures quoted in it;
# where it names a material of ours, that material's molar-mass, equivalents, and what it counts as
# (or uses up of) calcium carbonate must agree. Prints each row that differs; exit 1 if any does.

here=$(cd "$(dirname "$0")" && pwd) || exit 2
root=$(cd "$here/../.." && pwd) || exit 2
LC_ALL=C
export LC_ALL

cat "$root"/stdlib/materials/*.wleaf | awk -F '\t' -v table="$here/reserve.tsv" '
    function wrong(text) { print text; failures++ }
    function off(one, other) { return one > other ? one - other : other - one }

    # Whether FOUND rounds to QUOTED; a dash quotes nothing. Weights are abridged, so one more in the last figure is allowed.
    function rounds(what, found, quoted,    decimals) {
        if (quoted == "-") return
        decimals = index(quoted, ".") ? length(quoted) - index(quoted, ".") : 0
        if (off(found, quoted) > 1.5 * 10 ^ -decimals) wrong(what ": worked out " found ", quoted " quoted)
        compared++
    }
    function declares(material, field, found, allowed) {
        if (!((material, field) in value)) { wrong("stdlib: material " material " has no " field); return }
        if (off(value[material, field], found) > allowed) wrong("stdlib: material " material " has " field " " value[material, field] ", worked out " found)
        compared++
    }
    {
        line = $0
        sub(/^ +/, "", line)
        split(line, word, / +/)
        if (word[1] == "material") { material = word[2]; sub(/:$/, "", material) }
        else if (word[1] == "end") material = ""
        else if (material != "") value[material, word[1]] = word[2]
    }
    END {
        while ((getline line < table) > 0) {
            split(line, part, "\t")
            if (part[1] == "#weight") { weight[part[2]] = part[3]; continue }
            if (line ~ /^#/) continue
            rows++
            mass = 0
            count = split(part[3], atoms, " ")
            for (i = 1; i <= count; i++) {
                match(atoms[i], /[0-9]+$/)
                element = substr(atoms[i], 1, RSTART - 1)
                if (!(element in weight)) wrong("reserve.tsv: no weight of " element)
                mass += weight[element] * substr(atoms[i], RSTART)
            }
            if (rows == 1) carbonate = mass / 2 # grams of calcium carbonate for a mole of acid
            gram = mass / part[4]
            worth = carbonate / gram
            name = part[2]
            rounds(name ", molar mass", mass, part[5])
            rounds(name ", grams for a mole of acid", gram, part[6])
            rounds(name ", per cent for 0.4 mol/kg", 0.4 * gram / 10, part[7])
            rounds(name ", in calcium carbonate", worth, part[8])
            if (part[9] == "-") continue
            declares(part[9], "molar-mass", mass, 0.01)
            declares(part[9], "equivalents", part[4], 0)
            declares(part[9], part[1] == "base" ? "counts-as-carbonate" : "uses-up-carbonate", worth, 0.0001)
        }
        close(table)
        if (rows < 13) wrong("only " rows + 0 " rows were read")
        if (failures) exit 1
        print "reserve: " compared " figures of " rows " compounds agree"
    }'
