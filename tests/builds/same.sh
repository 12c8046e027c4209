#!/bin/sh
# Built in two folders, at two times and by users with other settings, the programs are the same, byte for byte. Of the long tier: it builds twice.

. "$(dirname "$0")/../script.sh"
[ -n "$WATERLEAF_FULL" ] || { echo "skipped: of the long tier (tests/run --full)"; exit 0; }
unset MAKEFLAGS MAKELEVEL MAKEOVERRIDES
build() {
    folder=$work/$1
    mkdir -p "$folder" && (cd "$root" && tar -c Makefile grammar src stdlib .ci) | tar -x -C "$folder" || exit 2
    shift
    (cd "$folder" && env "$@" make -s -j2 all build/libwaterleaf.a) >"$work/said" 2>&1 || { bad "it is not built: $(tail -n 3 "$work/said")"; counted same; exit 1; }
}
build one
sleep 1
build "another folder's/with a longer name" TZ=Pacific/Auckland LC_ALL=C HOME=/nonexistent
for file in waterleaf waterleaf-pages libwaterleaf.a gen/stdlib.image manual/waterleaf.1; do
    if cmp "$work/one/build/$file" "$work/another folder's/with a longer name/build/$file" >"$work/said" 2>&1; then good; else bad "$(cat "$work/said")"; fi
done
counted same
