#!/bin/sh
# What the editors are given: the reserved words and signs are those of grammar/words.def; files that are JSON are; Vim's files colour and indent an example
# in Neovim, Emacs reads its mode; the hook for git and the matcher of logs do what they say. Usage: tests/commands/editors.sh [PROGRAM]

. "$(dirname "$0")/../script.sh"
program=${1:-$root/build/waterleaf}
cd "$root" || exit 2
expect 'words that are not current' "$(editors/words.sh --check)" ''
sed -n 's/^\(WORD\|SIGN\)([A-Z_]*, "\(.*\)").*/\2/p' grammar/words.def >"$work/words"
expect 'words and signs that the grammar for tree-sitter lacks' "$(while read -r word; do grep -qF "'$word'" editors/tree-sitter/grammar.js || echo "$word"; done <"$work/words")" ''
if [ "$(wc -l <"$work/words")" -gt 50 ]; then good; else bad 'the words and signs of grammar/words.def'; fi
for file in editors/*/*.json; do
    if jq . "$file" >/dev/null; then good; else bad "$file is no JSON"; fi
done

# ---- Vim's files, in Neovim without a screen ----

if command -v nvim >/dev/null 2>&1; then
    mkdir "$work/home"
    sed 's/^ *//' examples/botanical.wleaf >"$work/flat.wleaf"
    HOME=$work/home XDG_STATE_HOME=$work/home timeout 60 nvim --headless -u NONE -i NONE -n --cmd "set runtimepath^=$root/editors/vim" -c 'filetype plugin indent on' -c 'syntax on' \
        -c "edit $work/flat.wleaf" -c 'normal! gg=G' -c 'write' \
        -c 'lua for _, at in ipairs({{"^  title", 3, "wleafHead"}, {"^# Our", 3, "wleafComment"}, {"\"Botanical", 14, "wleafText"}, {"within 5", 24, "wleafReserved"}}) do vim.fn.cursor(1, 1) local line = vim.fn.search(at[1], "c") local from = vim.fn.col(".") io.stdout:write(at[3] .. " " .. vim.fn.synIDattr(vim.fn.synID(line, from + (at[3] == "wleafHead" and 2 or at[3] == "wleafText" and 1 or 0), 1), "name") .. "\n") end' \
        -c 'lua io.stdout:write("type " .. vim.bo.filetype .. "\n")' -c 'qall!' >"$work/said" 2>"$work/err" </dev/null
    expect 'colours in Vim' "$(tr -d '\r' <"$work/said" | sort | tr '\n' ' ')" 'type wleaf wleafComment wleafComment wleafHead wleafHead wleafReserved wleafReserved wleafText wleafText '
    if cmp -s examples/botanical.wleaf "$work/flat.wleaf"; then good; else bad "Vim indents otherwise: $(diff examples/botanical.wleaf "$work/flat.wleaf" | head -n 4)"; fi
fi

# ---- Emacs ----

if command -v emacs >/dev/null 2>&1; then
    sed 's/^ *//' examples/botanical.wleaf >"$work/flat.wleaf"
    HOME=$work emacs --batch -Q -L editors/emacs -l waterleaf-mode --eval "(progn (find-file \"$work/flat.wleaf\") (indent-region (point-min) (point-max)) (save-buffer) (princ major-mode))" >"$work/said" 2>"$work/err"
    expect 'the mode in Emacs' "$(cat "$work/said")" waterleaf-mode
    if cmp -s examples/botanical.wleaf "$work/flat.wleaf"; then good; else bad "Emacs indents otherwise: $(diff examples/botanical.wleaf "$work/flat.wleaf" | head -n 4)"; fi
fi

# ---- git's hook, and what reads logs ----

if command -v git >/dev/null 2>&1; then
    mkdir "$work/mill" "$work/bin" && ln -s "$program" "$work/bin/waterleaf" && cp examples/first.wleaf "$work/mill/"
    (
        cd "$work/mill" && PATH=$work/bin:$PATH && git init -q . && git config user.email a@b.example && git config user.name a && cp "$root/editors/hooks/pre-commit" .git/hooks/ || exit 9
        git add . && git commit -qm fine >/dev/null 2>&1 || exit 1
        echo 'let  a=1' >>first.wleaf && git add . && git commit -qm untidy >/dev/null 2>&1 && exit 2
        waterleaf tidy first.wleaf >/dev/null && echo 'let b = (' >>first.wleaf && git add . && git commit -qm wrong >/dev/null 2>&1 && exit 3
        exit 0
    )
    expect 'the hook for git' $? 0
fi
printf 'waterleaf 1\nlet a = .5 g\n' >"$work/wrong.wleaf"
"$program" check --short "$work/wrong.wleaf" >"$work/log"
pattern=$(jq -r '.problemMatcher[0].pattern[0].regexp' editors/hooks/problem-matcher.json)
expect 'lines that the matcher reads' "$(jq -R --arg pattern "$pattern" 'select(test($pattern)) | capture($pattern)' "$work/log" | wc -l | tr -d ' ')" "$(wc -l <"$work/log" | tr -d ' ')"
counted commands/editors
