#!/bin/sh
# How messages are worded, in the list and as they are shown: what is wrong and what to do in one sentence each, none of more than 25
# words, and no word that only programmers use. Usage: tests/messages/wording.sh [PROGRAM]

. "$(dirname "$0")/../script.sh"
program=${1:-$root/build/waterleaf}
cd "$root" || exit 2

# The words of programmers, as they begin; `so` in backquotes is what is typed, and may be any word.
jargon='token|identifier|pars(e|er|ing)|expression|literal|syntax|attribute|argument|parameter|dimension|operator|operand|variable|boolean|string|integer|array|null|void|runtime|compile|exception|iterat|recurs|invalid|keyword|instance|object|namespace|whitespace|delimiter|argc|stdin|overflow|type mismatch|enum|declaration'

# Lines "NAME<TAB>PART<TAB>TEXT" in; each that is worded wrongly out, and why. PART: both (says and mend), why, shown, or one of them alone.
judge() {
    awk -F '\t' -v jargon="$jargon" '
        function sentences(text, list,    count, i, at, sign, rest) {
            count = 0; at = ""
            for (i = 1; i <= length(text); i++) {
                sign = substr(text, i, 1); rest = substr(text, i + 1)
                at = at sign
                if (sign ~ /[.?!]/ && (rest == "" || rest ~ /^ [A-Z(`{…"%0-9]/)) { list[++count] = at; at = "" }
            }
            if (at != "") list[++count] = at
            return count
        }
        { count = sentences($3, list)
          most = $2 == "why" ? 4 : $2 == "shown" ? 3 : $2 == "both" ? 2 : 1
          # a sentence that a step or another message brings along is one more
          if (count > most) print $1 ", " $2 ": " count " sentences: " $3
          for (i = 1; i <= count; i++) {
              words = split(list[i], word, " ")
              for (j = words; j > 0; j--) if (word[j] !~ /[A-Za-z0-9]/) words--
              if (words > 25) print $1 ", " $2 ": " words " words: " list[i]
          }
          plain = tolower($3); gsub(/`[^`]*`/, "", plain)
          if (match(plain, "(^|[^a-z-])(" jargon ")")) print $1 ", " $2 ": jargon, \"" substr(plain, RSTART, RLENGTH) "\": " $3 }'
}

# The list, as `waterleaf why` tells it: the sentences on its third line, and below them why.
for name in $("$program" list --json messages | jq -r '.messages[].name'); do
    "$program" why "$name" | awk -v name="$name" '
        /^This gets it:$/ { exit }
        NR == 3 { print name "\tboth\t" $0 }
        NR > 4 && NF { print name "\twhy\t" $0 }'
done >"$work/list"
judge <"$work/list" >"$work/wrong"
expect 'what is worded wrongly in the list' "$(cat "$work/wrong")" ''
if [ "$(wc -l <"$work/list")" -ge 280 ]; then good; else bad "only $(wc -l <"$work/list") texts are judged"; fi

# What is shown, with the words that were filled in. What is listed there (units, words, parts) is no sentence to be counted.
for file in tests/messages/*.txt; do
    sed -n '1s/^[a-z]*: //p' "$file" | sed 's/\(one of\|parts are\): .*/\1./' | sed "s|^|$(basename "$file" .txt)	shown	|"
done >"$work/shown"
judge <"$work/shown" >"$work/wrong"
expect 'what is worded wrongly as it is shown' "$(cat "$work/wrong")" ''
if [ "$(wc -l <"$work/shown")" -ge 120 ]; then good; else bad "only $(wc -l <"$work/shown") messages are judged"; fi

# What rules and claims of stdlib say.
sed -n 's/^  \(says\|mend\|because\)  *"\(.*\)".*$/\1\twhy\t\2/p' stdlib/rules/*.wleaf | awk '{ gsub(/" *else "/, "\nelse\twhy\t"); gsub(/" *when .*/, ""); print }' >"$work/rules"
judge <"$work/rules" >"$work/wrong"
expect 'what is worded wrongly in rules' "$(cat "$work/wrong")" ''
if [ "$(wc -l <"$work/rules")" -ge 300 ]; then good; else bad "only $(wc -l <"$work/rules") texts of rules are judged"; fi

# that it is seen
printf 'a\tmend\tOne. Two.\nb\tsays\tThis token is strange.\nc\twhy\tone two three four five six seven eight nine ten one two three four five six seven eight nine ten one two three four five six.\nd\tsays\tWrite `token` there.\n' | judge | cut -d, -f1 | tr -d '\n' >"$work/seen"
expect 'what is seen to be wrong' "$(cat "$work/seen")" abc

counted wording
