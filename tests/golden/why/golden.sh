# How why's golden texts are held: sourced by the scripts of it, behind script.sh. Needs program; with WATERLEAF_UPDATE the texts are
# written anew, to be read before they are believed.
# shellcheck shell=sh disable=SC2154

# why, as it stands in a golden text: where a line of stdlib stands changes with each edit of stdlib, and says nothing about why.
told() { "$program" why "$@" 2>&1 | sed 's/\(stdlib[^ ]*, line\) [0-9]*/\1 N/'; }

# WHAT FILE: whether $work/out is as FILE.
held() {
    if [ -n "$WATERLEAF_UPDATE" ]; then cp "$work/out" "$2"; fi
    if cmp -s "$work/out" "$2"; then good; else
        bad "$1: not as in $2"
        diff "$2" "$work/out" | head -n 12
    fi
}

# golden FILE NAME FIGURE [OPTION ...]
golden() {
    text=tests/golden/why/$1.txt
    shift
    told "$@" >"$work/out"
    held "why $*" "$text"
}
