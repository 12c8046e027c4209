#!/bin/sh
# The reserved words that the editors highlight are those of grammar/words.def, no more and no less.
cd "$(dirname "$0")/../.." || exit 2
work=$(mktemp -d) || exit 2
trap 'rm -rf "$work"' EXIT
sed -n 's/^WORD([A-Z_]*, "\([a-z-]*\)").*/\1/p' grammar/words.def | sort -u >"$work/words"
sed -n 's/^syntax keyword wleafReserved //p' editors/vim/syntax/wleaf.vim | tr ' ' '\n' | sed '/^$/d' | sort -u >"$work/vim"
if [ -s "$work/words" ] && cmp -s "$work/words" "$work/vim"; then
    echo "commands/editors: 1 passed, 0 failed"
else
    diff "$work/words" "$work/vim"
    echo "commands/editors: 0 passed, 1 failed"
    exit 1
fi
