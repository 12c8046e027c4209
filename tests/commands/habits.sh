#!/bin/sh
# Habits of the command line: SARIF, edits that are made, watching, a rule for make, completions, the manual page, misspelt names.
# Usage: tests/commands/habits.sh [PROGRAM]

. "$(dirname "$0")/../script.sh"
program=${1:-$root/build/waterleaf}
cd "$work" || exit 2
mkdir mill && cp -R "$root"/examples/. mill

# ---- SARIF 2.1.0: what the standard requires of it ----

printf 'waterleaf 1\nlet a = .5 g\nnote "\302\260 {x}"\nlet b = wrnog\nlet wrong = 1\n' >'mill/an odd#name.wleaf'
"$program" check --sarif 'mill/an odd#name.wleaf' >sarif 2>err
expect 'exit status with SARIF' $? 1
expect 'its version and tool' "$(jq -c '[.version, .runs[0].tool.driver.name, (.runs | length)]' sarif)" '["2.1.0","waterleaf",1]'
expect 'its results' "$(jq -c '[.runs[0].results[] | [.ruleId, .level]]' sarif)" '[["number-form","error"],["unknown-name","error"]]'
expect 'what each must have' "$(jq '[.runs[0].results[] | (.message.text | length > 0) and (.locations[0].physicalLocation.region.startLine >= 1) and (.locations[0].physicalLocation.region.endColumn >= .locations[0].physicalLocation.region.startColumn)] | all' sarif)" true
expect 'an address' "$(jq -r '.runs[0].results[0].locations[0].physicalLocation.artifactLocation.uri' sarif)" 'an%20odd%23name.wleaf'
expect 'a fix' "$(jq -r '.runs[0].results[0].fixes[0].artifactChanges[0].replacements[0].insertedContent.text' sarif)" '0.5'
"$program" check --sarif mill/first.wleaf >sarif
expect 'nothing wrong' "$(jq -c '.runs[0].results' sarif)" '[]'

# ---- --mend ----

printf 'let a = .5 g\nnote "x"\nlet c = 22"\nlet d = 1,500 g\nmateriel e:\n  class fibre\nend\n' >mill/mend.wleaf
cp mill/mend.wleaf before
"$program" check --mend mill/mend.wleaf >said 2>err
expect 'exit status where something is left' $? 1
expect 'what was mended' "$(cat mill/mend.wleaf)" "$(printf 'waterleaf 1\nlet a = 0.5 g\nnote "x"\nlet c = 22 in\nlet d = 1,500 g\nmateriel e:\n  class fibre\nend')"
if cmp -s before mill/mend.wleaf~; then good; else bad 'what was is not kept'; fi
if grep -q '^  - let a = .5 g$' said && grep -q '^  + let a = 0.5 g$' said && grep -q 'comma-in-number' said && grep -q 'unknown-head' said; then good; else bad "it does not show what it did: $(cat said)"; fi
cp mill/mend.wleaf once
"$program" check --mend mill/mend.wleaf >said 2>err
if cmp -s once mill/mend.wleaf; then good; else bad 'mended twice it is another'; fi
cp before mill/mend.wleaf
if (ulimit -f 0 && trap '' XFSZ && exec "$program" check --mend mill/mend.wleaf) >/dev/null 2>err; then bad 'a full disk is not told'; else good; fi
if cmp -s before mill/mend.wleaf; then good; else bad 'a full disk lost the script'; fi

# ---- --watch ----

"$program" check --watch --short mill/first.wleaf >watched 2>&1 &
watching=$!
seen() { # so many lines of how it stands, within ten seconds
    for _ in 1 2 3 4 5 6 7 8 9 10 11 12 13 14 15 16 17 18 19 20; do
        [ "$(grep -c ' in 1 script$' watched)" -ge "$1" ] && return 0
        sleep 0.5
    done
    return 1
}
if seen 1; then good; else bad 'it does not begin'; fi
sed 's/160 g\/m²/160 grams/' mill/first.wleaf >mill/other && mv mill/other mill/first.wleaf
if seen 2 && grep -q '^1 error, 0 warnings in 1 script$' watched; then good; else bad "a change is not seen: $(cat watched)"; fi
kill "$watching"
wait "$watching"
expect 'exit status of one that is stopped' $? 0
expect 'rounds' "$(grep -c ' in 1 script$' watched)" 2
"$program" check --watch --json mill/first.wleaf >/dev/null 2>err
expect 'watching with JSON' $? 2

# ---- a rule for make ----

cp "$root/examples/first.wleaf" mill/first.wleaf
printf 'sheet.txt:\n\t%s write batch-sheet mill/botanical.wleaf BR-047 -o sheet.txt --depends sheet.mk && echo made >>times\n-include sheet.mk\n' "$program" >rules
make -s -f rules sheet.txt && make -s -f rules sheet.txt
expect 'made' "$(grep -c made times)" 1
touch -d '+1 minute' mill/mills/wrenfold.wleaf
make -s -f rules sheet.txt 2>err
expect 'made again where the mill changed' "$(grep -c made times)" 2

# ---- completions and the manual page ----

manual=$root/build/manual
if bash -n "$manual/waterleaf.bash"; then good; else bad 'bash does not read its completion'; fi
expect 'bash completes' "$(bash -c ". '$manual/waterleaf.bash'; COMP_WORDS=(waterleaf write --as ''); COMP_CWORD=3; _waterleaf; echo \"\${COMPREPLY[*]}\"")" 'text html pdf svg'
if ! command -v zsh >/dev/null 2>&1 || zsh -n "$manual/_waterleaf"; then good; else bad 'zsh does not read its completion'; fi
if ! command -v fish >/dev/null 2>&1 || fish -n "$manual/waterleaf.fish"; then good; else bad 'fish does not read its completion'; fi
expect 'what is wrong in the manual page' "$(mandoc -T lint -W warning "$manual/waterleaf.1" 2>&1)" ''
for option in $("$program" --help | grep -o -e '--[a-z-]*' | sort -u); do
    word=$(printf '%s' "$option" | sed 's/^--//; s/-/\\\\-/g')
    if grep -q -e "Fl Fl ${option#--}" "$manual/waterleaf.1" && grep -q -e "$option" "$manual/waterleaf.bash" "$manual/_waterleaf"; then good; else bad "$option is not everywhere ($word)"; fi
done

# ---- misspelt names ----

"$program" why alkaline-reserve-lo 2>err
if grep -q 'Did you mean alkaline-reserve-low?' err; then good; else bad "a rule: $(cat err)"; fi
"$program" why acid-fre 2>err
if grep -q 'Did you mean acid-free?' err; then good; else bad "a claim: $(cat err)"; fi

# ---- lines that stand in the wrong block, or are called otherwise, or lack more than one thing ----

cat >mill/places.wleaf <<'END'
waterleaf 1
grammage 160 g/m²
paper sketch:
  title     "Sketch"
  sheets    20
  weight    3
  press     at 700 kPa, for 15 min
  procedure:
    dry   for 2 d
    wind
    mould a3
    beat
    tub-size  with gelatine
  end
end
batch S-1:
  paper  sketch
  sheets 20
  grammage 160 g/m²
  posts 3
end
material rag:
  class fibre
  opening a3
end
fields ink:
  has colour as text
end
ink oak-gall:
  body 3
end
END
"$program" check --short mill/places.wleaf 2>&1 | sed -n 's/^mill.places.wleaf:\([0-9]*\):[0-9]*: error: \(.*\) \[[a-z-]*\]$/\1 \2/p' >said
cat >told <<'END'
2 No line begins with the word grammage. It is a line of a paper.
5 A paper has no line called sheets. It is a line of a batch.
6 A paper has no line called weight. Write one of: title, purpose, mould, grammage, moisture, surface, caliper, claims, to-test, pack, edges, origin, marks, vary, let, furnish, procedure, expect, note or accept.
7 A paper has no line called press. It is a step: it stands in the procedure of a paper.
9 A procedure has no line called dry. Did you mean loft-dry, board-dry or restrain-dry?
10 A procedure has no line called wind. `waterleaf list steps` shows all steps.
11 A procedure has no line called mould. It is a line of a paper.
12 beat lacks a stream; `at` and a consistency; `for` and a duration. Add them.
13 tub-size lacks `at` and a strength-dry (% w/v dry); `taking-up` and a pick-up (% of sheet-as-it-is). Add them.
19 A batch has no line called grammage. It is a line of a paper.
20 A batch has no line called posts. Write one of: paper, mill, sheets, start, note, packed, good, retree or measured.
24 A material has no line called opening. It is a line of a mould.
30 An ink has no line called body. Write one of: colour or marks.
END
if cmp -s told said; then good; else bad "what is told of lines that do not stand there: $(diff told said)"; fi
counted commands/habits
