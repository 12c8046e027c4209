#!/bin/sh
# The grammar for tree-sitter: installed as editors/README.md says, it reads every script as the program does (compare.py), and one with mistakes
# all the same; what its queries ask for is there; Neovim colours by it. Skipped where tree-sitter is missing and cannot be fetched,
# but not with --full. Usage: tests/editor/tree-sitter.sh

. "$(dirname "$0")/../script.sh"
kept=$root/build/tests/tree-sitter
trees=$root/build/tests/editor/tree-sitter/trees
cd "$root" || exit 2
missing() {
    if [ -n "$WATERLEAF_FULL" ]; then
        echo "  $1"
        echo "editor/tree-sitter: 0 passed, 1 failed"
        exit 1
    fi
    echo "skipped: $1"
    exit 0
}
command -v node >/dev/null 2>&1 || missing 'node is not installed (.ci/packages browser)'
if command -v tree-sitter >/dev/null 2>&1; then
    ln -s "$(command -v tree-sitter)" "$work/tree-sitter"
else
    if [ ! -x "$kept/tree-sitter" ]; then
        [ -n "$WATERLEAF_FULL$CI" ] || missing 'tree-sitter was not fetched yet (make check-full does)'
        sh tests/editor/tree-sitter/fetch.sh "$kept" >"$work/fetched" 2>&1 || missing "tree-sitter could not be fetched ($(tail -n 1 "$work/fetched"))"
    fi
    ln -s "$kept/tree-sitter" "$work/tree-sitter"
fi
PATH=$work:$PATH
HOME=$work/home
XDG_CONFIG_HOME=$HOME/.config
XDG_CACHE_HOME=$HOME/.cache
XDG_STATE_HOME=$HOME/.state
XDG_DATA_HOME=$HOME/.share
export PATH HOME XDG_CONFIG_HOME XDG_CACHE_HOME XDG_STATE_HOME XDG_DATA_HOME
mkdir "$HOME" "$XDG_CONFIG_HOME"

# ---- installed as it is written ----

mkdir "$work/project" && cp -R editors "$work/project/" || exit 2
sed -n '/^\*\*tree-sitter\*\*/,/^\*\*/s/^    //p' editors/README.md >"$work/lines"
expect 'lines that install it' "$(wc -l <"$work/lines" | tr -d ' ')" 3
(cd "$work/project/editors/tree-sitter" && sh -e "$work/lines") >"$work/said" 2>&1
expect 'exit status of what installs it' $? 0
expect 'what the generator says' "$(cat "$work/said")" ''
[ "$failed" -eq 0 ] || { counted editor/tree-sitter; exit 1; }
sitter() { (cd "$work/project/editors/tree-sitter" && timeout 300 tree-sitter "$@" 2>>"$work/sitter-err"); }

# ---- every script, as the program reads it ----

find "$root/examples" "$root/stdlib" "$root/tests/golden" "$root/tests/messages" "$root/tests/fuzz/corpus" -type f -name '*.wleaf' | sort >"$work/scripts"
"$trees" $(cat "$work/scripts") >"$work/wanted" || bad 'the program reads them'
while read -r script; do
    echo "= $script"
    sitter parse --xml "$script"
    case $? in 0 | 1) ;; *) echo "stopped with $?" ;; esac
done <"$work/scripts" >"$work/xml"
python3 tests/editor/tree-sitter/compare.py "$work/wanted" "$work/xml" >"$work/compared" || grep '^  ' "$work/compared" | head -n 40
passed=$((passed + $(sed -n 's/^compared: \([0-9]*\) .*/\1/p' "$work/compared")))
failed=$((failed + $(sed -n 's/^compared: .* passed, \([0-9]*\) failed/\1/p' "$work/compared")))

# ---- mistakes: each stays in its line ----

printf '%s\n' 'waterleaf 1' 'paper one:' '  title  "open' '  grammage  160 g/m² )' '  furnish:' '    flax  100 %' '  end' 'end' 'paper two:' 'end' >"$work/wrong.wleaf"
sitter parse "$work/wrong.wleaf" >"$work/said"
expect 'exit status with mistakes' $? 1
expect 'mistakes' "$(grep -c '^ *(ERROR \[[23], ' "$work/said") $(grep -c ERROR "$work/said")" '2 3' # the last line names the first once more
expect 'lines beside them' "$(sed -n 's/^ *(\([a-z]*\) \[\([0-9]*\), [0-9]*\] - .*/\1 \2/p' "$work/said" | grep -E '^(line|block|end) ' | tr '\n' ' ')" \
    'line 0 block 1 line 2 line 3 block 4 line 5 end 6 end 7 block 8 end 9 '

# ---- queries ----

expect 'blocks that fold' "$(sitter query queries/folds.scm "$root/examples/first.wleaf" | sed -n 's/.*capture: .*fold, start: (\([0-9]*\), .*/\1/p' | tr '\n' ' ')" '1 5 8 '

# ---- Neovim ----

if command -v nvim >/dev/null 2>&1; then
    cp -R editors/vim/* "$XDG_CONFIG_HOME/nvim/"
    cat >"$work/session.lua" <<'END'
local buffer = vim.api.nvim_get_current_buf()
io.stdout:write('coloured ' .. tostring(vim.treesitter.highlighter.active[buffer] ~= nil) .. '\n')
local ask = vim.treesitter.query and vim.treesitter.query.get or vim.treesitter.get_query
local query = ask('waterleaf', 'highlights')
for id, node in query:iter_captures(vim.treesitter.get_parser(buffer, 'waterleaf'):parse()[1]:root(), buffer, 10, 13) do
  local line, from, _, to = node:range()
  io.stdout:write(query.captures[id] .. ' ' .. vim.api.nvim_buf_get_lines(buffer, line, line + 1, true)[1]:sub(from + 1, to) .. '\n')
end
vim.cmd('qall!')
END
    timeout 60 nvim --headless -i NONE -n "$root/examples/first.wleaf" -c "luafile $work/session.lua" >"$work/said" 2>"$work/err" </dev/null
    tr -d '\r' <"$work/said" >"$work/coloured"
    cat >"$work/wanted" <<'END'
coloured true
keyword blend
keyword add
variable chalk
number 5
type % on fibre
property fibre
punctuation.delimiter ,
keyword as
variable slurry
keyword of
number 20
type % w/w
keyword charge-vat
keyword to
number 1
type %
END
    if cmp -s "$work/wanted" "$work/coloured"; then good; else bad "Neovim colours otherwise: $(diff "$work/wanted" "$work/coloured" | head -n 6) $(head -n 3 "$work/err")"; fi
fi
counted editor/tree-sitter
