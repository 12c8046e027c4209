#!/bin/sh
# compare: nothing differs between a paper and itself, in another layout either; each change that is planted is found, and
# nothing else; what it says of two variants. Usage: tests/commands/compare.sh [PROGRAM]
# With WATERLEAF_UPDATE the golden texts are written anew.

. "$(dirname "$0")/../script.sh"
program=${1:-$root/build/waterleaf}
cd "$root" || exit 2

is() { if [ "$2" = "$3" ]; then good; else bad "$1: $(printf '%s' "$2" | head -c 600 | tr '\n' ';'), not $(printf '%s' "$3" | tr '\n' ';')"; fi; }

# Runs compare: the exit status that it must have, and its arguments. What it says is in $work/out and $work/err.
compare() {
    status=$1
    shift
    "$program" compare "$@" >"$work/out" 2>"$work/err" </dev/null
    found=$?
    if [ "$found" -eq "$status" ]; then good; else bad "compare $*: exit status $found, not $status: $(head -n 2 "$work/err")"; fi
}
same() { if tail -n 1 "$work/out" | grep -qx 'The hands do the same\.'; then good; else bad "$1: $(sed -n 3,8p "$work/out")"; fi; }

# What was found, sorted, one a line: what, of what, at which step.
differences() { jq -r '.differences[] | [.what, .of // "", .step // ""] | join(" | ")' "$work/out" | sort; }

# ---- the same, and the same in another layout ----

# Declarations in another order (batches, papers, all else), other blanks, no comments.
reformat() {
    awk '
        { line = $0; sub(/^ *#.*/, "", line); sub(/ +# .*/, "", line) }
        line ~ /^ *$/ { next }
        depth == 0 { sort = line ~ /^batch / ? 1 : line ~ /^paper / ? 2 : 3; if (line ~ /^waterleaf /) sort = 0 }
        {
            quoted = line ~ /"/
            if (!quoted) gsub(/ +/, "   ", line)
            sub(/^ +/, "", line)
            part[sort] = part[sort] "      " line "\n"
        }
        line ~ /: *$/ { depth++ }
        line ~ /^ *end/ { depth-- }
        END { printf "%s%s%s%s", part[0], part[1], part[2], part[3] }' "$1"
}

cp -R examples "$work/examples"
mkdir -p "$work/again"
cp -R examples/. "$work/again"
for script in examples/*.wleaf; do
    reformat "$script" >"$work/again/${script#examples/}"
    if cmp -s "$script" "$work/again/${script#examples/}"; then bad "$script is not written otherwise"; else good; fi
    "$program" weigh --json "$script" | jq -r '.papers[] | .batch // .title' >"$work/names"
    # every variant beside the batches
    sed -n 's/^paper \([^:]*\):.*/\1/p' "$script" | while read -r paper; do
        "$program" weigh --json "$script" "$paper" | jq -r '.papers[].title'
    done >>"$work/names"
    if [ -s "$work/names" ]; then good; else bad "$script: nothing to compare"; fi
    while read -r name; do
        compare 0 "$script" "$name" "$name"
        same "$script, $name with itself"
        compare 0 "$script" "$name" "$work/again/${script#examples/}" "$name"
        same "$script, $name in another layout"
        compare 0 --json "$script" "$name" "$work/again/${script#examples/}" "$name"
        is "$name as JSON" "$(jq '.differences | length' "$work/out")" 0
    done <"$work/names"
done

# ---- each planted change is found, and nothing else ----

base=examples/botanical.wleaf
planted=$work/examples/botanical.wleaf

# NAME, a change for sed, what must be found.
plant() {
    sed "$2" $base >"$planted"
    if cmp -s $base "$planted"; then bad "$1: nothing was planted"; fi
    compare 0 --json $base BR-047 "$planted" BR-047
    is "$1" "$(differences)" "$3"
}
plant "a dose by a hair" 's/5 % on fibre/5.01 % on fibre/' ''
plant "a dose" 's/0.8 % on fibre/0.9 % on fibre/' 'amount | cationic-starch | 
value | slurry-water | add cationic-starch
value | weighed | add cationic-starch'
is "how much more" "$(jq '[.differences[].change | . > 0.12 and . < 0.13] | all' "$work/out")" true
plant "a time by a hair" 's/80 °C, for 30 min/80 °C, for 31 min/' ''
plant "a time in another unit" 's/80 °C, for 30 min/80 °C, for 0.5 h/' ''
plant "a time" 's/80 °C, for 30 min/80 °C, for 40 min/' 'time | time | heat-set'
plant "a temperature by a hair" 's/heat-set *at 80 °C/heat-set at 80.9 °C/' ''
plant "a temperature" 's/heat-set *at 80 °C/heat-set at 82 °C/' 'reading | temperature in the middle of a stack | heat-set
value | heat | heat-set'
plant "a vessel" 's/soak  *cotton-linters /&in little, /' 'given | place | soak cotton-linters'
plant "a claim" 's/acid-free, //' 'claim | acid-free | '
plant "two lines" '/add  *chalk/{h;d;};/cationic-starch/G' 'order | add chalk | add chalk'
plant "a step left out" '/^    mature /d' 'step | mature | mature'
is "what only the first does" "$(jq -r '.differences[0] | [.["step-in-one"], .["step-in-other"], .other] | tostring' "$work/out")" '[15,null,null]'
plant "a note" 's/sixty per cent/sixty/' 'note | Take the pick-up of the first five sheets of every lot; sixty is this mill'"'"'s mean of last winter. | 
note | Take the pick-up of the first five sheets of every lot; sixty per cent is this mill'"'"'s mean of last winter. | '
plant "a surface" 's/finish rough/finish cold-pressed/' 'count | sheets to form | 
fact | surface | 
step | exchange-press | exchange-press
step | part | part'

# What now fails is found, and is a problem in a script as it always is.
sed 's/0.5..0.7/0.3..0.4/' $base >"$planted"
compare 1 --json $base BR-047 "$planted" BR-047
is "a rule" "$(differences)" 'rule | expected-otherwise | '
compare 1 --json "$planted" BR-047 "$planted" BR-047
is "a rule that fails for both" "$(differences)" ''
is "where it fails" "$(jq -r '[.one, .other] | map(.problems | map(.name) | join(",")) | join(";")' "$work/out")" 'expected-otherwise;expected-otherwise'

# ---- calls ----

compare 0 $base BR-047 'Botanical rough 300 g/m2'
if grep -q '^first   BR-047: Botanical rough 300 g/m², 80 good sheets, at wrenfold$' "$work/out"; then good; else bad "the head: $(head -n 1 "$work/out")"; fi
compare 2 $base botanical BR-047
if grep -q 'more than one variant' "$work/err"; then good; else bad "a name of many is taken"; fi
compare 2 $base BR-047
compare 2 $base BR-047 BR-04
if grep -q 'Did you mean BR-047' "$work/err"; then good; else bad "a name nearly right"; fi
compare 2 $base BR-047 "$work/missing.wleaf" BR-047
compare 2 --json $base BR-047 "$work/missing.wleaf" BR-047
is "JSON of a side that is not there" "$(jq -c '[.one.batch, .other.batch, .differences]' "$work/out")" '["BR-047",null,[]]'
if (cd examples && "$program" compare - BR-047 BR-047 <botanical.wleaf) >"$work/out" 2>&1; then same "standard input"; else bad "standard input: $(head -n 2 "$work/out")"; fi
printf 'waterleaf 1\nlet a = wnidow\n' >"$work/wrong.wleaf"
compare 1 "$work/wrong.wleaf" A B
is "one mistake of one script" "$(grep -c '^error' "$work/err")" 1
"$program" compare $base BR-047 BR-047 >/dev/full 2>"$work/err"
is "a full disk" $? 2
compare 0 $base BR-047 BR-047 -o "$work/compared.txt"
if [ ! -s "$work/out" ] && grep -q 'the same' "$work/compared.txt"; then good; else bad "-o"; fi

# ---- what it says ----

golden() {
    compare 0 $base "$2" "$3" --sheets 80
    if [ -n "$WATERLEAF_UPDATE" ]; then cp "$work/out" "tests/golden/documents/$1"; fi
    if diff "tests/golden/documents/$1" "$work/out" >"$work/differs"; then good; else bad "$1: $(head -n 6 "$work/differs")"; fi
}
golden compare-surfaces.txt 'Botanical rough 300 g/m²' 'Botanical cold-pressed 300 g/m²'
golden compare-weights.txt 'botanical weight=190 finish=cold-pressed' 'botanical weight=300 finish=cold-pressed'

counted commands/compare
