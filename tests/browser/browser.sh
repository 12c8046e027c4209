#!/bin/sh
# The HTML pages of the examples in Chromium: accessible, complete in themselves, fine on a phone (check.mjs). Skipped where Chromium, npm or
# axe-core is missing, but not with --full. Usage: tests/browser/browser.sh [PROGRAM]

. "$(dirname "$0")/../script.sh"
program=${1:-$root/build/waterleaf}
made=$root/build/tests/pages/made
kept=$root/build/tests/browser
missing() {
    if [ -n "$WATERLEAF_FULL" ]; then
        echo "  $1"
        echo "browser: 0 passed, 1 failed"
        exit 1
    fi
    echo "skipped: $1"
    exit 0
}

command -v chromium >/dev/null 2>&1 || missing "chromium is not installed (.ci/packages browser)"
command -v npm >/dev/null 2>&1 && command -v node >/dev/null 2>&1 || missing "node and npm are not installed (.ci/packages browser)"
if ! cmp -s "$root/tests/browser/package-lock.json" "$kept/package-lock.json" || [ ! -s "$kept/node_modules/axe-core/axe.min.js" ]; then
    [ -n "$WATERLEAF_FULL$CI" ] || missing "axe-core was not fetched yet (make check-full does)"
    mkdir -p "$kept" && cp "$root/tests/browser/package.json" "$root/tests/browser/.npmrc" "$kept/" || exit 2
    cp "$root/tests/browser/package-lock.json" "$kept/package-lock.json" || exit 2
    (cd "$kept" && npm ci --ignore-scripts >"$work/npm" 2>&1) || {
        rm -f "$kept/package-lock.json"
        missing "npm could not fetch axe-core ($(grep -m 1 -i error "$work/npm"))"
    }
fi

for script in "$root"/examples/*.wleaf; do
    name=$(basename "$script" .wleaf)
    for document in batch-sheet labels chemical-labels spec-sheet; do
        "$program" write $document "$script" --as html >"$work/$name-$document.html" 2>/dev/null </dev/null || rm -f "$work/$name-$document.html"
    done
    [ -e "$work/$name-batch-sheet.html" ] || { echo "  $name is not written"; echo "browser: 0 passed, 1 failed"; exit 1; }
done
"$made" html a4 <"$root/tests/pages/pictures.txt" >"$work/pictures.html"
cp "$root/build/manual/reference.html" "$work/reference.html" || exit 2
# these must be found wrong: else nothing is looked at
page() { printf '<!DOCTYPE html><html lang="en-GB"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width"><title>t</title></head><body><main><h1>Head</h1>%s</main></body></html>' "$2" >"$work/bad-$1.html"; }
page color-contrast '<p style="color:#aaa;background:#fff">pale words</p>'
page image-alt '<img src="data:image/gif;base64,R0lGODlhAQABAAAAACH5BAEKAAEALAAAAAABAAEAAAICTAEAOw==">'
page svg-img-alt '<svg role="img" viewBox="0 0 9 9"><path d="M0 0h9v9z"/></svg>'
page wide '<p style="width:2000px">wide</p>'
page outside '<img alt="a" src="other.png">'

# the fonts as they lie on the disk, whatever this machine remembers of them: without letters nothing has a width
cat >"$work/fonts.conf" <<EOF
<?xml version="1.0"?><!DOCTYPE fontconfig SYSTEM "fonts.dtd">
<fontconfig><dir>/usr/share/fonts</dir><cachedir>$work/fonts</cachedir></fontconfig>
EOF
FONTCONFIG_FILE=$work/fonts.conf
TMPDIR=$work
export FONTCONFIG_FILE TMPDIR
node "$root/tests/browser/check.mjs" "$(command -v chromium)" "$kept/node_modules/axe-core/axe.min.js" "$work"/*.html >"$work/said"
status=$?
[ $status -ne 77 ] || missing "$(sed -n 's/^ *//; 1p' "$work/said")"
cat "$work/said"

# ---- the search field of the reference: two words, both of which must be there; words that are nowhere; nothing ----

sed 's|^</body>$|<script>\
const field = document.getElementById("find"), seen = [];\
for (const words of ["Tub-Size bath", "tub-size nowhere-at-all", ""]) {\
  field.value = words; field.dispatchEvent(new Event("input"));\
  const shown = [...document.querySelectorAll(".entry")].filter(at => at.offsetParent !== null);\
  seen.push(shown.length > 0 \&\& shown.length < 100, shown.some(at => at.id === "step-tub-size"), document.getElementById("told").textContent === shown.length + " entries");\
}\
document.title = seen.join(" ");\
</script></body>|' "$root/build/manual/reference.html" >"$work/search.html"
expect 'what the search of the reference shows' "$(chromium --headless --no-sandbox --disable-gpu --user-data-dir="$work/chromium" --dump-dom "file://$work/search.html" 2>/dev/null | sed -n 's/.*<title>\([a-z ]*\)<.*/\1/p')" \
    'true true true false false true false true false'
counted search && exit $status
exit 1
