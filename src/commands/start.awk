# Makes the options of `start`, as options.def has them, of the questions in stdlib/start: awk -f start.awk options.def SCRIPT …
# A question of several scripts is one option; one that options.def has is left out.
FNR == 1 { file++ }
file == 1 && /^OPTION\(/ { split($0, part, "\""); seen[part[2]] = 1 }
file > 1 && /^#\? [^"]*("[^"]*")?:/ {
    word = $2
    if (seen[word]++) next
    usual = substr($0, index($0, word) + length(word) + 1)
    asks = usual
    if (usual ~ /^"/) {
        value = toupper(word)
        sub(/^"[^"]*": */, "", asks)
    } else {
        sub(/:.*/, "", usual)
        value = usual ~ /\|/ ? usual : toupper(word)
        sub(/^[^:]*: */, "", asks)
    }
    sub(/\?.*/, "?", asks)
    gsub(/"/, "\\\"", asks)
    printf "OPTION(START_%s, 0, \"%s\", \"%s\", \" start \", \"start: %s\")\n", word, word, value, asks
}
