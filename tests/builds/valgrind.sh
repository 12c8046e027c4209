#!/bin/sh
# The golden scripts and the messages' examples under valgrind, which sees what the sanitizers do not: values that nobody set. The library is
# the one that is delivered. Of the long tier.

. "$(dirname "$0")/../script.sh"
[ -n "$WATERLEAF_FULL" ] && [ -z "$1" ] || { echo "skipped: of the long tier (tests/run --full)"; exit 0; }
command -v valgrind >/dev/null 2>&1 || { echo "  valgrind is not installed (.ci/packages full)"; echo "valgrind: 0 passed, 1 failed"; exit 1; }
cd "$root" || exit 2
watch() {
    valgrind --quiet --error-exitcode=9 --leak-check=full --errors-for-leak-kinds=definite,indirect,possible "$@" >"$work/out" 2>"$work/err"
    status=$?
    if [ $status -ne 9 ] && ! grep -q '^==[0-9]*==' "$work/err"; then good; else bad "$* (exit status $status): $(grep -m 6 '^==' "$work/err")"; fi
}
# The tests themselves, of the delivered library: what they count, counts.
delivered() {
    program=$work/${1##*/}
    # shellcheck disable=SC2046
    ${CC:-cc} -std=c11 -D_GNU_SOURCE -Isrc -Ibuild/gen -I. -Itests -g -Wno-unused-function -o "$program" "tests/$1.c" build/libwaterleaf.a -lcmocka -ljansson -lm 2>"$work/said" || { bad "$1: $(head -n 2 "$work/said")"; return; }
    shift
    watch "$program" "$@"
    cat "$work/out"
}
delivered golden/golden tests/golden/flow tests/golden/language examples
delivered messages/messages tests/messages
# A value that nobody set is seen, else nothing was looked at.
printf '%s\n' '#include <stdlib.h>' 'int main(void) { int *a = malloc(4); int b = *a > 3 ? 1 : 2; free(a); return b; }' >"$work/unset.c"
${CC:-cc} -O0 -g -o "$work/unset" "$work/unset.c" && valgrind --quiet --error-exitcode=9 "$work/unset" >/dev/null 2>&1
expect 'what valgrind says of a value that nobody set' $? 9
counted valgrind
