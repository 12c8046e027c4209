#!/bin/sh
# Built by clang, with its warnings and its sanitizers, the library and the commands say the same. Of the long tier: it builds all once more.

. "$(dirname "$0")/../script.sh"
[ -n "$WATERLEAF_FULL" ] && [ -z "$1" ] || { echo "skipped: of the long tier (tests/run --full)"; exit 0; }
command -v clang >/dev/null 2>&1 || { echo "  clang is not installed (.ci/packages full)"; echo "clang: 0 passed, 1 failed"; exit 1; }
unset MAKEFLAGS MAKELEVEL MAKEOVERRIDES
cd "$root" || exit 2
if make -s -j2 CC=clang BUILD=build/clang tested >"$work/said" 2>&1; then good; else bad "clang: $(grep -m 5 -E 'error|warning' "$work/said")"; fi
if grep -q warning "$work/said"; then bad "$(grep -m 5 warning "$work/said")"; else good; fi
counted clang
WATERLEAF_FULL='' WATERLEAF_BUILT=build/clang tests/run unit golden messages limits mutations replay editor/server commands/commands commands/compare
