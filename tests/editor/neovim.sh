#!/bin/sh
# A real editor, without a screen: Neovim opens an example, is told what is wrong, takes the fix, renames, and tidies.
# Usage: tests/editor/neovim.sh [PROGRAM]

. "$(dirname "$0")/../script.sh"
program=${1:-$root/build/waterleaf}
command -v nvim >/dev/null 2>&1 || {
    echo 'skipped: nvim is not installed (.ci/packages test)'
    exit 0
}
mkdir "$work/mill" "$work/mill/mills" "$work/home"
cp "$root"/examples/mills/*.wleaf "$root"/examples/mills/*.svg "$work/mill/mills/"
sed 's/linen-rag       25 %/linen-rga       25 %/; s/^  purpose   watercolour/  purpose watercolour/' "$root/examples/botanical.wleaf" >"$work/mill/botanical.wleaf"
cat >"$work/session.lua" <<'END'
local function say(what, value) io.stdout:write(what .. ': ' .. tostring(value) .. '\n') end
local buffer = vim.api.nvim_get_current_buf()
local client = vim.lsp.start_client({name = 'waterleaf', cmd = {vim.env.WATERLEAF, 'lsp', '--on', '2027-03-01'}, root_dir = vim.env.MILL})
vim.lsp.buf_attach_client(buffer, client)
local function told(wanted)
  vim.wait(15000, function() return (#vim.diagnostic.get(buffer) > 0) == wanted end, 20)
  return vim.diagnostic.get(buffer)
end
local wrong = told(true)
say('wrong', #wrong)
say('it says', wrong[1] and wrong[1].message)
say('line', wrong[1] and wrong[1].lnum + 1)
local at = {start = {line = wrong[1].lnum, character = wrong[1].col}, ['end'] = {line = wrong[1].end_lnum, character = wrong[1].end_col}}
local document = vim.lsp.util.make_text_document_params()
local function ask(method, params)
  local answers = vim.lsp.buf_request_sync(buffer, method, params, 15000)
  return answers and answers[client] and answers[client].result
end
local offset = vim.lsp.get_client_by_id(client).offset_encoding
local fixes = ask('textDocument/codeAction', {textDocument = document, range = at, context = {diagnostics = {}}})
say('fix', fixes[1].title)
vim.lsp.util.apply_workspace_edit(fixes[1].edit, offset)
say('wrong behind it', #told(false))
local renamed = ask('textDocument/rename', {textDocument = document, position = {line = 10, character = 8}, newName = 'plant-sheet'})
vim.lsp.util.apply_workspace_edit(renamed, offset)
say('renamed', vim.fn.search('^  paper   plant-sheet, with', 'n') > 0 and vim.fn.search('^paper plant-sheet:', 'n') > 0)
vim.lsp.util.apply_text_edits(ask('textDocument/formatting', {textDocument = document, options = {tabSize = 2, insertSpaces = true}}), buffer, offset)
say('tidy', vim.fn.search('^  purpose   watercolour$', 'n') > 0)
vim.wait(500, function() return false end)
say('wrong at the end', #vim.diagnostic.get(buffer))
vim.cmd('write')
vim.cmd('qall!')
END
HOME=$work/home XDG_CONFIG_HOME=$work/home XDG_DATA_HOME=$work/home XDG_STATE_HOME=$work/home XDG_CACHE_HOME=$work/home MILL=$work/mill WATERLEAF=$program \
    timeout 120 nvim --headless -u NONE -i NONE -n "$work/mill/botanical.wleaf" -c "luafile $work/session.lua" >"$work/said" 2>"$work/err" </dev/null
expect 'exit status of Neovim' $? 0
said() { sed -n "s/^$1: //p" "$work/said" | tr -d '\r'; }
expect 'wrong' "$(said wrong)" 1
expect 'what it says' "$(said 'it says')" 'There is no material called linen-rga. Did you mean linen-rag?'
expect 'its line' "$(said line)" "$(grep -n '^    linen-rag       25' "$root/examples/botanical.wleaf" | cut -d: -f1)"
expect 'the fix' "$(said fix)" 'Write linen-rag'
expect 'wrong behind it' "$(said 'wrong behind it')" 0
expect 'renamed' "$(said renamed)" true
expect 'tidied' "$(said tidy)" true
expect 'wrong at the end' "$(said 'wrong at the end')" 0
sed 's/botanical:/plant-sheet:/; s/  botanical, with/  plant-sheet, with/' "$root/examples/botanical.wleaf" | sed 's/^  paper   botanical/  paper   plant-sheet/' >"$work/wanted"
if cmp -s "$work/wanted" "$work/mill/botanical.wleaf"; then good; else bad "the script that is written: $(diff "$work/wanted" "$work/mill/botanical.wleaf" | head -n 5)"; fi
[ "$failed" -eq 0 ] || head -n 20 "$work/said" "$work/err"
counted editor/neovim
