# The grammar of one line as a person reads it: `name = way | way`, of parser.y and words.def. A sign or word that is spelt in one way
# stands in quotes, and one that is spelt in several under the name of them all. Mistakes are left out. Usage: awk -f grammar/readable.awk grammar/words.def grammar/parser.y
FILENAME ~ /words/ && /^(WORD|SIGN)\(/ {
    split($0, quoted, "\""); kind = $0; sub(/^[A-Z]*\(/, "", kind); sub(/,.*/, "", kind)
    spellings[kind] = spellings[kind] (kind in first ? " | " : "") "\"" quoted[2] "\""
    # further spellings of one sign are read as meant: the first stands for them all
    if (!(kind in first)) kind_order[++kinds] = kind
    if (!(kind in first)) first[kind] = "\"" quoted[2] "\""
    if (/^WORD/) many[kind] += 1
    next
}
FILENAME ~ /words/ { next }
function name_of(token) {
    if (token == "FROM") return first[token]
    if (many[token] > 1) { asked[token] = 1; return tolower(token) }
    if (token in first) return first[token]
    if (token in special) return special[token]
    gsub(/_/, "-", token)
    return tolower(token)
}
BEGIN {
    special["TEXT_OPEN"] = "'\"' letters \"{\""; special["TEXT_MIDDLE"] = "\"}\" letters \"{\""; special["TEXT_CLOSE"] = "\"}\" letters '\"'"
    special["IS_NOT"] = "\"is not\""; special["BIND"] = "\"=\""; special["CLOCK"] = "time"; special["UNIT_NAME"] = "unit"
    special["CALL"] = "name \"(\""; special["TEXT"] = "'\"' letters '\"'"; special["ABOUT_BETWEEN"] = "\",\" \"between\""
}
/^%/ || /^\/\*/ || /^ \*/ { next }
/::=/ && !/BAD/ || waiting {
    text = waiting ? waiting " " $0 : $0
    waiting = ""
    sub(/\{.*/, "", text)
    if (text !~ /\.[ \t]*(\[[A-Z]*\])?[ \t]*$/) { waiting = text; next }
    sub(/\.[ \t]*(\[[A-Z]*\])?[ \t]*$/, "", text)
    gsub(/\([A-Z]\)/, "", text)
    split(text, sides, "::=")
    rule = sides[1]; gsub(/[ \t]/, "", rule)
    count = split(sides[2], parts, /[ \t]+/)
    way = ""
    for (i = 1; i <= count; i++) {
        if (parts[i] == "") continue
        word = ""
        several = split(parts[i], tokens, "|")
        for (j = 1; j <= several; j++) word = word (j > 1 ? " | " : "") (tokens[j] ~ /^[A-Z_]+$/ ? name_of(tokens[j]) : tokens[j])
        way = way (way == "" ? "" : " ") (several > 1 ? "( " word " )" : word)
    }
    if (!(rule in ways)) order[++rules] = rule
    if (!((rule, way) in seen)) ways[rule] = ways[rule] "\n    " (ways[rule] == "" ? "= " : "| ") (way == "" ? "nothing" : way)
    seen[rule, way] = 1
}
END {
    for (i = 1; i <= rules; i++) print order[i] ways[order[i]] "\n"
    for (i = 1; i <= kinds; i++) if (kind_order[i] in asked) print tolower(kind_order[i]) "\n    = " spellings[kind_order[i]] "\n"
}
