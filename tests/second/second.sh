#!/bin/sh
# The second opinion (second.py): random papers, worked out by the program and by exact fractions. With WATERLEAF_FULL=1 a hundred
# thousand of them, in two processes. Another seed: WATERLEAF_SEED=17 sh tests/second/second.sh
cd "$(dirname "$0")/../.." || exit 2
seed=${WATERLEAF_SEED:-1}
by_hand="tests/golden/flow/followed.wleaf tests/golden/flow/second.wleaf"
second() { python3 -B tests/second/second.py "$@"; }
# shellcheck disable=SC2086
[ "$WATERLEAF_FULL" = 1 ] || { second 2000 "$seed" --wrong $by_hand; exit; }

said=$(mktemp) || exit 2
trap 'rm -f "$said"' EXIT
second 50000 "$seed" --first 50000 >"$said" 2>&1 &
# shellcheck disable=SC2086
second 50000 "$seed" --wrong $by_hand
status=$?
wait $! || status=1
cat "$said"
exit "$status"
