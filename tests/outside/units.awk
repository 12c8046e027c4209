# Reads stdlib/units.wleaf (or another script) and prints, for each `unit` line that has a value,
# NAME <tab> FACTOR <tab> FROM: how many base units one of it is, and the zero of a scale.
# It is a second reading of the declarations, apart from the program's: by their text alone.
#
# A value is numbers and quantities joined by * and /. A unit in it is another unit of the
# file, or parts joined by / and ·, each maybe with ² or ³.

function factor_of(name) {
    if (name in factor)
        return factor[name]
    if (name in is_base)
        return 1
    if (name in value) {
        if (name in open)
            fail("a ring of units at " name)
        open[name] = 1
        factor[name] = worth(value[name])
        delete open[name]
        return factor[name]
    }
    return composed(name)
}

# g/m², kg·m/s²: what stands behind a / divides.
function composed(name,    rest, sign, part, product, place, power) {
    rest = name
    sign = 1
    product = 1
    if (name !~ /\/|·|²|³/)
        fail("no unit " name)
    while (rest != "") {
        place = match(rest, /\/|·/)
        part = place ? substr(rest, 1, RSTART - 1) : rest
        power = 1
        if (sub(/²$/, "", part)) power = 2
        else if (sub(/³$/, "", part)) power = 3
        product *= factor_of(part) ^ (sign * power)
        if (!place)
            break
        if (substr(rest, RSTART, 1) == "/")
            sign = -1
        rest = substr(rest, RSTART + RLENGTH)
    }
    return product
}

# The worth in base units of a value as written.
function worth(text,    words, count, i, product, sign, number) {
    count = split(text, words, /[ \t]+/)
    product = 1
    sign = 1
    for (i = 1; i <= count; i++) {
        if (words[i] == "") continue
        if (words[i] == "*") { sign = 1; continue }
        if (words[i] == "/") { sign = -1; continue }
        if (words[i] ~ /^[0-9]/) {
            number = words[i]
            gsub(/_/, "", number)
            product *= (number + 0) ^ sign
        } else
            product *= factor_of(words[i]) ^ sign
    }
    return product
}

function fail(why) {
    print "units.awk: " why > "/dev/stderr"
    failed = 1
    exit 1
}

/^unit / {
    line = $0
    sub(/^unit[ \t]+/, "", line)
    sub(/[ \t]+(source|practice|memory)([ \t].*)?$/, "", line)
    sub(/,?[ \t]+also[ \t].*$/, "", line)
    if (line ~ /,[ \t]+either/) next
    if (line !~ /=/) { # a base unit, or a scale that only compares
        sub(/[ \t]+of[ \t].*$/, "", line)
        is_base[line] = 1
        next
    }
    place = index(line, "=")
    name = substr(line, 1, place - 1)
    text = substr(line, place + 1)
    sub(/[ \t]+of[ \t].*$/, "", text)
    sub(/[ \t]+$/, "", name)
    if (name ~ /^%/) sub(/[ \t]+of[ \t].*$/, "", name)
    scale = ""
    if ((place = match(text, /,[ \t]+from[ \t]+/))) {
        scale = substr(text, RSTART + RLENGTH)
        text = substr(text, 1, place - 1)
    }
    value[name] = text
    zero[name] = scale
    order[++units] = name
}

END {
    if (failed) exit 1
    for (i = 1; i <= units; i++) {
        name = order[i]
        printf "%s\t%.17g\t%.17g\n", name, factor_of(name), zero[name] == "" ? 0 : worth(zero[name])
    }
    if (failed) exit 1
}
