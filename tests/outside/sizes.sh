#!/bin/sh
# Sizes of stdlib/moulds.wleaf against ISO 216:2007 and the traditional inches of sizes.tsv.
#
# The ISO sizes are made twice: by the standard's closed form, and by halving the long side from
# size 0 down, always rounded down (the nearest would be wrong in six places). All three
# must agree. Openings of the ready moulds must leave their size when 2.5 % is drawn together.
# Prints each row that differs; exit 1 if any does.

here=$(cd "$(dirname "$0")" && pwd) || exit 2
root=$(cd "$here/../.." && pwd) || exit 2
LC_ALL=C
export LC_ALL

awk -v table="$here/sizes.tsv" '
    function millimetres(value, unit) { gsub(/_/, "", value); return unit == "in" ? value * 25.4 : value + 0 }
    function wrong(text) { print text; failures++ }
    function off(one, other) { return one > other ? one - other : other - one }

    # The whole number at or below VALUE; a hair is added for what binary fractions lose.
    function floor(value) { return int(value + 1e-9) }
    function half_up(value) { return int(value + 0.5 + 1e-9) }

    function closed(letter, n) {
        if (letter == "a") return floor(1000 * 2 ^ (-(2 * n - 1) / 4) + 0.2)
        return floor(1000 * 2 ^ (-(n - 1) / 2) + 0.2)
    }

    BEGIN {
        while ((getline line < table) > 0) {
            if (line ~ /^#/) continue
            split(line, part, "\t")
            name = part[1]
            traditional[name] = 1
            want_short[name] = part[2]; want_long[name] = part[3]
            want_short_mm[name] = part[4]; want_long_mm[name] = part[5]
            want_area[name] = part[6]
        }
        close(table)
    }

    $1 == "table" && $2 == "nominal-size" { in_table = 1 }
    $1 == "end" { in_table = 0; mould = "" }
    in_table && $1 == "row" {
        if ($2 in declared) wrong("moulds.wleaf: " $2 " stands twice")
        declared[$2] = 1
        unit[$2] = $4; short_written[$2] = $3; long_written[$2] = $6
        short[$2] = millimetres($3, $4); long[$2] = millimetres($6, $7)
    }
    $1 == "mould" { mould = $2; sub(/:$/, "", mould); format = "" }
    mould != "" && $1 == "format" { format = $2 }
    mould != "" && $1 == "opening" {
        if (!(format in declared)) wrong("moulds.wleaf: mould " mould " has the format " format ", which has no size")
        else {
            moulds++
            # To the whole millimetre of opening.
            if (off(millimetres($2, $3) * 0.975, short[format]) > 0.5 || off(millimetres($5, $6) * 0.975, long[format]) > 0.5)
                wrong("moulds.wleaf: mould " mould " opens " $2 " by " $5 " mm, which does not leave " format)
        }
    }

    END {
        for (name in traditional) {
            if (!(name in declared)) { wrong("moulds.wleaf: no size " name); continue }
            if (unit[name] != "in" || short_written[name] != want_short[name] || long_written[name] != want_long[name])
                wrong(name ": declared " short_written[name] " by " long_written[name] " " unit[name] ", listed " want_short[name] " by " want_long[name] " in")
            if (half_up(short[name]) != want_short_mm[name] || half_up(long[name]) != want_long_mm[name])
                wrong(name ": " half_up(short[name]) " by " half_up(long[name]) " mm, listed " want_short_mm[name] " by " want_long_mm[name])
            if (off(short[name] * long[name] / 1e6, want_area[name]) > 0.00005 * (1 + 1e-9))
                wrong(name ": " short[name] * long[name] / 1e6 " m2, listed " want_area[name])
            compared++
        }
        split("a b", letters, " ")
        for (i = 1; i <= 2; i++) {
            letter = letters[i]
            halved_short = letter == "a" ? 841 : 1000
            halved_long = letter == "a" ? 1189 : 1414
            for (n = 0; n <= 10; n++) {
                name = letter n
                closed_long = closed(letter, n); closed_short = closed(letter, n + 1)
                if (closed_long != halved_long || closed_short != halved_short)
                    wrong(name ": closed form " closed_short " by " closed_long ", halving " halved_short " by " halved_long)
                if (!(name in declared)) wrong("moulds.wleaf: no size " name)
                else if (unit[name] != "mm" || short[name] != closed_short || long[name] != closed_long)
                    wrong(name ": declared " short[name] " by " long[name] " " unit[name] ", ISO 216 " closed_short " by " closed_long " mm")
                next_long = halved_short
                halved_short = int(halved_long / 2)
                halved_long = next_long
                compared++
            }
        }
        for (name in declared) if (!(name in traditional) && name !~ /^[ab][0-9]+$/) wrong("sizes.tsv: no row for " name)
        if (compared < 41) wrong("only " compared + 0 " sizes were compared")
        if (moulds < 20) wrong("only " moulds + 0 " moulds were compared")
        if (failures) exit 1
        print "sizes: " compared " agree, and the openings of " moulds " moulds"
    }' "$root/stdlib/moulds.wleaf"
