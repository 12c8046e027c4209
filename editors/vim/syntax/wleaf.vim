" Waterleaf scripts. The reserved words are those of grammar/words.def.
if exists('b:current_syntax')
  finish
endif

syntax iskeyword @,48-57,192-255,-

syntax match wleafHead /^\s*\k\+/
syntax keyword wleafReserved at for to with of on from into until per within after before over under one-of as in about between by none each when is not and or else shown source practice memory supplier measured
syntax keyword wleafEnd end
syntax match wleafNumber /\<\d[0-9_]*\(\.\d\+\)\?\>/
syntax match wleafDate /\<\d\{4}-\d\d-\d\d\>/
syntax region wleafText start=/"/ skip=/\\./ end=/"/ oneline contains=wleafFill
syntax region wleafFill start=/{/ end=/}/ contained
syntax match wleafComment /#.*$/ contains=@Spell

highlight default link wleafHead Statement
highlight default link wleafReserved Keyword
highlight default link wleafEnd Keyword
highlight default link wleafNumber Number
highlight default link wleafDate Number
highlight default link wleafText String
highlight default link wleafFill Identifier
highlight default link wleafComment Comment

let b:current_syntax = 'wleaf'
