#!/bin/sh
# The second opinion (second.py): random papers, worked out by the program and by exact fractions. With WATERLEAF_FULL=1 a hundred
# thousand of them. Another seed: WATERLEAF_SEED=17 sh tests/second/second.sh
cd "$(dirname "$0")/../.." || exit 2
if [ "$WATERLEAF_FULL" = 1 ]; then papers=100000; else papers=2000; fi
exec python3 -B tests/second/second.py "$papers" "${WATERLEAF_SEED:-1}" --wrong tests/golden/flow/followed.wleaf tests/golden/flow/second.wleaf
