# What the test scripts share; sourced by them, as `. "$(dirname "$0")/../script.sh"`. Sets root, and work, a folder
# that is gone afterwards; counts what was good and what was bad, with WATERLEAF_FIRST until something is; `counted NAME` ends a script.
# shellcheck shell=sh disable=SC2034

root=$(cd "$(dirname "$0")/../.." && pwd) || exit 2
work=$(mktemp -d) || exit 2
trap 'rm -rf "$work"' EXIT
trap 'exit 2' INT TERM HUP
passed=0
failed=0
good() { passed=$((passed + 1)); }
bad() {
    failed=$((failed + 1))
    echo "  $*"
    [ -z "$WATERLEAF_FIRST" ] || exit 1
}
expect() { if [ "$2" = "$3" ]; then good; else bad "$1 is '$2', not '$3'"; fi; }
counted() {
    echo "$1: $passed passed, $failed failed"
    [ "$failed" -eq 0 ]
}

# The fenced blocks of a text in Markdown: PAGE FOLDER. Of the third, FOLDER/003 holds its lines, FOLDER/003.is what stands
# behind its three backquotes, FOLDER/003.before the paragraph in front of it.
blocks() {
    mkdir -p "$2"
    awk -v folder="$2" '
        /^```/ && inside { inside = 0; close(file); before = ""; next }
        /^```/ {
            inside = 1
            file = sprintf("%s/%03d", folder, ++number)
            printf "" >file
            print substr($0, 4) >(file ".is")
            print before >(file ".before")
            close(file ".is")
            close(file ".before")
            next
        }
        inside { print >file; next }
        /^$/ { ended = 1; next }
        { before = ended ? $0 : before " " $0; ended = 0 }' "$1"
}
# Whether a text is FOUND: WANTED FOUND. A line of `…` in WANTED stands for any lines.
matches() {
    awk '
        FILENAME == ARGV[1] { wanted[++many] = $0; next }
        { found[++count] = $0 }
        # Whether the lines of WANTED from W on are those of FOUND from F on.
        function fits(w, f,   from) {
            while (w <= many && wanted[w] != "…") {
                if (f > count || wanted[w++] != found[f++]) {
                    return 0
                }
            }
            if (w > many) {
                return f > count
            }
            for (from = f; from <= count + 1; from++) {
                if (fits(w + 1, from)) {
                    return 1
                }
            }
            return 0
        }
        END { exit !fits(1, 1) }' "$1" "$2"
}
