#!/bin/sh
# weigh --what-if: what it says, as text and as JSON; a mill's own figure and least; a script in which nothing moves.
# Usage: tests/commands/what-if.sh [PROGRAM]      With WATERLEAF_UPDATE the golden text is written anew.

. "$(dirname "$0")/../script.sh"
program=${1:-$root/build/waterleaf}
cd "$root" || exit 2

is() { if [ "$2" = "$3" ]; then good; else bad "$1: $(printf '%s' "$2" | head -c 600), not $3"; fi; }
weigh() {
    "$program" weigh --what-if "$@" >"$work/out" 2>"$work/err" </dev/null
    found=$?
    if [ "$found" -eq 0 ]; then good; else bad "weigh --what-if $*: exit status $found: $(head -n 2 "$work/err")"; fi
}

# ---- what it says ----

golden=tests/golden/documents/what-if.txt
weigh examples/botanical.wleaf BR-047
sed -n '/^What it does/,$p' "$work/out" >"$work/told"
if [ -n "$WATERLEAF_UPDATE" ]; then cp "$work/told" $golden; fi
if diff $golden "$work/told" >"$work/differs"; then good; else bad "$golden: $(head -n 6 "$work/differs")"; fi

# All else is as it is without.
"$program" weigh examples/botanical.wleaf BR-047 >"$work/plain"
sed '/^What it does/,$d' "$work/out" >"$work/rest"
if cmp -s "$work/plain" "$work/rest"; then good; else bad "the amounts are others: $(diff "$work/plain" "$work/rest" | head -n 4)"; fi

weigh --json examples/botanical.wleaf BR-047
line=$(grep -n '^ *add  *chalk ' examples/botanical.wleaf | cut -d : -f 1)
is "JSON" "$(jq -c '.papers[0]["what-if"][] | select(.typed == "5 % on fibre") | [.file, .line, .column, .text, (.moves["alkaline-reserve"].more * 1000 | round), .moves.thickness.more]' "$work/out")" \
    '["botanical.wleaf",'"$line"',34,"add chalk 5 % on fibre, as slurry of 20 % w/w",97,null]'
is "JSON where it is not asked" "$("$program" weigh --json examples/botanical.wleaf BR-047 | jq -c '.papers[0] | has("what-if"), .["what-if"]')" 'true
null'
weigh examples/botanical.wleaf botanical
is "each variant" "$(grep -c '^What it does' "$work/out")" 4

# ---- a mill's own lines ----

{
    cat examples/first.wleaf
    printf 'reckon twice-as-heavy as grammage = 2 * finished-grammage\nwhat-if twice-as-heavy, over 0.1 %%\nwhat-if thickness, over 90 %%\n'
} >"$work/own.wleaf"
weigh --json "$work/own.wleaf"
is "a figure of one's own" "$(jq '[.papers[0]["what-if"][] | select(.moves["twice-as-heavy"].more != null)] | length > 0' "$work/out")" true
is "a least of one's own" "$(jq '[.papers[0]["what-if"][] | select(.moves.thickness.more != null)] | length' "$work/out")" 0
is "the figures in their order" "$(jq -c '.papers[0]["what-if"][0].moves | keys_unsorted' "$work/out")" '["finished-grammage","alkaline-reserve","thickness","count.sheets","twice-as-heavy"]'
sed 's/over 0.1 %/over 95 %/' "$work/own.wleaf" >"$work/still.wleaf"
for figure in finished-grammage alkaline-reserve count.sheets; do printf 'what-if %s, over 95 %%\n' $figure; done >>"$work/still.wleaf"
weigh "$work/still.wleaf"
if grep -q 'No number that is typed moves a figure' "$work/out"; then good; else bad "that nothing moves is not said"; fi

# ---- a tenth less of the jug is no sheet at all: what would move with sheets of nothing is not told ----

cat >"$work/jug.wleaf" <<'END'
waterleaf 1
material plain-fibre:
  class fibre
  moisture 0 %
  shrink 0 %
end
mould square:
  opening 1 m by 1 m
end
step form-by-jug:
  role forming
  takes  dry as fibre-mass
  makes  sheet from stuff, of (most(0 g, dry - 95 g) as fibre-mass)
  sets   sheet.length = mould.opening.length
  sets   sheet.width = mould.opening.width
  sets   sheet.moisture = (0 % as moisture)
end
paper p:
  title "P"
  mould square
  grammage none
  moisture 0 %
  furnish:
    plain-fibre 100 %
  end
  procedure:
    blend
    form-by-jug 100 g
  end
end
END
weigh --json --sheets 10 "$work/jug.wleaf"
is "15 g in place of 5 g, and none" "$(jq -c '.papers[0]["what-if"][] | select(.typed == "100 g") | .moves["finished-grammage"]' "$work/out")" '{"more":2,"less":null}'

counted commands/what-if
