autocmd BufNewFile,BufRead *.wleaf setfiletype wleaf
