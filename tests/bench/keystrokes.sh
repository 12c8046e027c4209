#!/bin/sh
# What an editor waits for in a script of 2,000 lines, beside a C language server in a file of as many: the 99th percentile of 400 keystrokes
# (keystrokes.py says of what). Part of bench.sh, which gives it its functions: sourced, not run.

printf '\n%-46s %14s %14s %10s %8s\n' 'keystrokes, 99th percentile' ours other 'ours, ms' 'at most'
make_file papers 44 editor.wleaf
awk 'BEGIN {
    for (i = 0; i < 250; i++)
        printf "int work_%d(int count)\n{\n    int total = %d;\n    for (int i = 0; i < count; i++)\n        total += i * %d;\n    return total;\n}\n\n", i, i, i + 1
}' >"$work/editor.c"
python3 tests/bench/keystrokes.py waterleaf "$program lsp" "$work/editor.wleaf" cotton-linters 200 >"$work/ours" || give_up 'the language server was not measured'
python3 tests/bench/keystrokes.py c "clangd --log=error" "$work/editor.c" total 200 >"$work/others" || give_up 'clangd was not measured'
waited() { awk -v word="$1" '$1 == word { print $2 }' "$work/$2"; }
waited_line() { line "$1" "$(waited "$2" ours) ms" "$(waited "$2" others) ms" "$(waited "$2" ours)" "$3"; }
waited_line 'hover behind a keystroke: names and kinds' hover 5
waited_line 'completion behind a keystroke' completion 5
waited_line 'hover where nothing changed' again 5
waited_line 'keystroke to all messages of 44 papers' told 10
