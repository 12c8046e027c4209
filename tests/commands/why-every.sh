#!/bin/sh
# why, for every figure of every example: that it is unfolded to its end. Each leaf ends in what was typed, left out, ordered, solved, a
# table's row, or nothing; each number is the one that weigh tells; where a formula stands with numbers no name is left; few enough
# lines, none too long. Usage: tests/commands/why-every.sh [PROGRAM]

. "$(dirname "$0")/../script.sh"
program=${1:-$root/build/waterleaf}
cd "$root" || exit 2

# Names of all figures of a document of weigh, one a line.
cat >"$work/names.jq" <<'JQ'
def names: to_entries[] | if .value == null or (.value | has("shown")) then .key
    else .key as $name | .value.values | keys[] | "\($name) of \(.)" end;
[.papers[0] | (.figures | names), (.steps[].figures | names)] | unique[]
JQ

# What is wrong with the documents of why, given weigh's: one line each. The input: all of them.
cat >"$work/judge.jq" <<'JQ'
def shown: to_entries[] | if .value == null then {key, value: "not told"} elif .value | has("shown") then {key, value: .value.shown}
    else .key as $name | .value.values | to_entries[] | {key: "\($name) of \(.key)", value: (.value.shown? // "not told")} end;
($weigh[0].papers[0] | [(.figures | shown), (.steps[].figures | shown)] | group_by(.key)
    | map({key: .[0].key, value: map(.value)}) | from_entries) as $told
| def parts($depth): . as $part | {part: ., depth: $depth}, (.parts[] | parts($depth + 1));
def bare: gsub("[0-9]( ?%( (on|of) [a-z-]+| w/[vw]( dry| as-weighed)?)?| [^ ),]+)"; "") | gsub("not told|none"; "")
    | [scan("[A-Za-z][A-Za-z.-]*\\(?")] | map(select(endswith("(") | not));
.[] | . as $document | .figure as $figure
| ((.text | split("\n")) as $lines
   | (select(($lines | length) > $most) | "\($figure): \($lines | length) lines"),
     ($lines[] | select(length > 110) | "\($figure): too long: \(.)"),
     (select(.figures == []) | "\($figure): not explained")),
  (.figures[] | parts(1) | .part as $part | ($part.figure | sub("^.*, here "; "") | sub(",$"; "")) as $name
   | (select(.depth > 24) | "\($figure): too deep"),
     (select($part.parts == [] and ($part.end | IN("typed", "default", "row", "solved", "ordered", "answer", "nothing", "not-told", "above") | not))
        | "\($figure): \($part.figure) ends as \($part.end)"),
     (select($part.parts == [] and ($part.end | IN("typed", "default", "row")) and $part.file == null)
        | "\($figure): nobody knows where \($part.figure) was typed"),
     (select($told[$name] != null and ($told[$name] | index($part.shown)) == null)
        | "\($figure): \($name) is \($part.shown), but \($told[$name] | join(" or "))"),
     (select($part."with-numbers" != null and ($part.figure | test("\\(") | not)) | ($part."with-numbers" | bare)[]
        | "\($figure): \(.) is left in \($part."with-numbers")"))
JQ

# every FILE NAME [LINES AT THE MOST]
every() {
    "$program" weigh --json "$1" "$2" >"$work/weigh" 2>/dev/null || bad "weigh $1 $2"
    jq -r -f "$work/names.jq" "$work/weigh" >"$work/names"
    : >"$work/why"
    while IFS= read -r name; do
        if "$program" why --json "$1" "$2" "$name" >>"$work/why" 2>"$work/err"; then good; else
            bad "why $1 $2 $name: $(head -n 1 "$work/err")"
        fi
    done <"$work/names"
    jq -s -r --argjson most "${3:-400}" --slurpfile weigh "$work/weigh" -f "$work/judge.jq" "$work/why" >"$work/judged" 2>&1 || bad "$1: $(head -n 1 "$work/judged")"
    if [ -s "$work/judged" ] || [ ! -s "$work/names" ]; then
        bad "why of every figure of $1: $(wc -l <"$work/judged") wrong"
        head -n "${WATERLEAF_WHY_LINES:-10}" "$work/judged" | sed 's/^/    /'
    else good; fi
}
every examples/botanical.wleaf BR-047
every examples/binders-laid.wleaf BL-3
every examples/heath.wleaf H-21
every examples/kozo-tissue.wleaf KT-8
every examples/printing.wleaf PP-12
every examples/first.wleaf sketch
every tests/golden/flow/followed.wleaf followed
every tests/golden/flow/second.wleaf second
every tests/golden/flow/every-step.wleaf 'every one' 650 # a line for each step that there is
every tests/golden/flow/every-step.wleaf 'every two'
every tests/golden/language/own-things.wleaf N-1
counted why-every
