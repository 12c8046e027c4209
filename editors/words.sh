#!/bin/sh
# Puts the reserved words of grammar/words.def into the editors' files, each into one line.
#
#   editors/words.sh            writes them anew
#   editors/words.sh --check    says which are not current; ends with 1 where one is not

cd "$(dirname "$0")/.." || exit 2
words=$(sed -n 's/^WORD([A-Z_]*, "\([a-z-]*\)").*/\1/p' grammar/words.def | awk '!seen[$0]++')
[ -n "$words" ] || exit 2
stale=0
# FILE, what stands in the line, the line as it must be.
line() {
    new=$(mktemp) || exit 2
    awk -v mark="$2" -v line="$3" 'index($0, mark) { print line; next } { print }' "$1" >"$new"
    if ! cmp -s "$1" "$new"; then
        if [ "$mode" = --check ]; then
            echo "$1 is not current: run editors/words.sh"
            stale=1
        else
            cat "$new" >"$1"
        fi
    fi
    rm -f "$new"
}
mode=$1
spaced=$(printf '%s ' $words)
barred=$(printf '%s|' $words | sed 's/|$//')
quoted=$(printf '"%s" ' $words)
line editors/vim/syntax/wleaf.vim 'syntax keyword wleafReserved' "syntax keyword wleafReserved ${spaced% }"
line editors/emacs/waterleaf-mode.el reserved-words "  '($quoted) ; reserved-words"
line editors/textmate/waterleaf.tmLanguage.json reserved-words "    \"words\": {\"name\": \"keyword.operator.word.wleaf\", \"comment\": \"reserved-words\", \"match\": \"(?<![\\\\\\\\p{L}\\\\\\\\p{N}.-])($barred)(?![\\\\\\\\p{L}\\\\\\\\p{N}-])\"},"
# The words of one kind, as JavaScript lists them.
of_kind() { sed -n "s/^$1($2, \"\([a-z-]*\)\").*/'\1', /p" grammar/words.def | tr -d '\n' | sed 's/, $//'; }
line editors/tree-sitter/grammar.js '// prepositions,' "const prepositions = [$(of_kind WORD PREPOSITION)]; // prepositions, from grammar/words.def by editors/words.sh"
line editors/tree-sitter/grammar.js '// origins,' "const origins = [$(of_kind WORD ORIGIN)]; // origins, from there too"
line editors/tree-sitter/grammar.js '// binders,' "const binders = [$(of_kind HEAD BINDS)]; // binders, from there too: in lines that begin with these the first \`=\` binds"
exit $stale
