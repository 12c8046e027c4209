" Waterleaf scripts: comments, two blanks a block, and what check says as a compiler.
if exists('b:did_ftplugin')
  finish
endif
let b:did_ftplugin = 1

setlocal commentstring=#\ %s comments=:# expandtab shiftwidth=2 softtabstop=2
setlocal iskeyword=@,48-57,192-255,-
setlocal makeprg=waterleaf\ check\ --short\ %:S
setlocal errorformat=%f:%l:%c:\ %trror:\ %m,%f:%l:%c:\ %tarning:\ %m,%f:%l:%c:\ %tote:\ %m
let b:undo_ftplugin = 'setlocal commentstring< comments< expandtab< shiftwidth< softtabstop< iskeyword< makeprg< errorformat<'

if has('nvim-0.7')
  lua require('waterleaf').colour()
endif

" The language server, where this is Neovim and the program is installed.
if has('nvim-0.7') && executable('waterleaf')
  lua require('waterleaf').start()
endif
