" Waterleaf scripts: a line behind a colon stands deeper, an end less deep.
if exists('b:did_indent')
  finish
endif
let b:did_indent = 1

setlocal indentexpr=WleafIndent() indentkeys=o,O,0=end
let b:undo_indent = 'setlocal indentexpr< indentkeys<'

if exists('*WleafIndent')
  finish
endif

function WleafIndent()
  let l:before = prevnonblank(v:lnum - 1)
  if l:before == 0
    return 0
  endif
  let l:line = substitute(getline(l:before), '\s*#.*$', '', '')
  let l:indent = indent(l:before) + (l:line =~# ':\s*$' ? shiftwidth() : 0)
  return getline(v:lnum) =~# '^\s*end\>' ? max([0, l:indent - shiftwidth()]) : l:indent
endfunction
