#!/bin/sh
# make install puts what is needed below a folder, where it works; make uninstall takes all of it away again; make deb makes a package of
# it, the same bytes each time; the library is found by pkg-config, and a program made with it.
# Usage: tests/commands/install.sh

. "$(dirname "$0")/../script.sh"
[ -z "$1" ] || { echo "skipped: only what make built is put in place"; exit 0; }
cd "$root" || exit 2
unset MAKEFLAGS MAKELEVEL MAKEOVERRIDES
put=$work/put
place() { make --no-print-directory "$1" PREFIX=/opt/mill DESTDIR="$put" >"$work/said" 2>&1 || bad "make $1: $(tail -n 1 "$work/said")"; }

place install
program=$put/opt/mill/bin/waterleaf
cp examples/first.wleaf "$work/"
cd "$work" || exit 2
expect 'what is put in place' "$(env -i PATH=/usr/bin:/bin "$program" --version)" "$("$root/build/waterleaf" --version)"
env -i PATH=/usr/bin:/bin "$program" write spec-sheet first.wleaf -o "$work/sheet.pdf" --unproofed >"$work/said" 2>&1 || bad "no page is set: $(cat "$work/said")"
expect 'a PDF' "$(head -c 5 "$work/sheet.pdf")" '%PDF-'
if [ -s "$put/opt/mill/share/man/man1/waterleaf.1" ]; then good; else bad 'no manual page'; fi
if [ -s "$put/opt/mill/share/doc/waterleaf/reference.html" ] && [ -s "$put/opt/mill/share/man/man7/waterleaf-steps.7" ] && [ -s "$put/opt/mill/share/waterleaf/schemas/check.json" ]; then good; else bad 'no reference'; fi

# ---- the library ----

cat >count.c <<'C'
#include <stdio.h>
#include <waterleaf.h>

int main(int count, char **arguments)
{
    Workshop *workshop = workshop_open(&(WorkshopWish){0});
    if (count < 2 || workshop == NULL || workshop_read(workshop, arguments[1]) != WATERLEAF_FINE)
        return 2;
    printf("%u messages\n", (unsigned)workshop_messages(workshop)->list.count);
    workshop_close(workshop);
    return 0;
}
C
found=$(PKG_CONFIG_PATH=$put/opt/mill/lib/pkgconfig PKG_CONFIG_SYSROOT_DIR=$put pkg-config --cflags --libs waterleaf) || bad 'pkg-config finds nothing'
# shellcheck disable=SC2086
if ${CC:-cc} -std=c11 -Wall -Wextra -Wpedantic -Werror -o count count.c $found >said 2>&1; then good; else bad "the library: $(cat said)"; fi
expect 'what a program with the library says' "$(./count first.wleaf 2>&1)" '0 messages'

cd "$root" || exit 2
place uninstall
expect 'what is left' "$(find "$put" -type f)" ''
expect 'folders that are left of its own' "$(find "$put" -type d -name 'waterleaf*')" ''

# ---- the package ----

if command -v dpkg-deb >/dev/null 2>&1; then
    for time in 1 2; do
        SOURCE_DATE_EPOCH=1700000000 make --no-print-directory deb >"$work/path" 2>"$work/said" || bad "make deb: $(tail -n 1 "$work/said")"
        cp "$(tail -n 1 "$work/path")" "$work/$time.deb"
        sleep 1
    done
    if cmp -s "$work/1.deb" "$work/2.deb"; then good; else bad 'the package is another each time'; fi
    dpkg-deb -x "$work/1.deb" "$work/unpacked" || bad 'the package cannot be unpacked'
    expect 'what was unpacked' "$("$work/unpacked/usr/bin/waterleaf" check --strict --short examples/first.wleaf; echo $?)" 0
    expect 'owners' "$(dpkg-deb -c "$work/1.deb" | awk '{ print $2 }' | sort -u)" root/root
    case $(dpkg-deb -f "$work/1.deb" Depends) in *libcairo2*fonts-sil-charis*) good ;; *) bad "it depends on $(dpkg-deb -f "$work/1.deb" Depends)" ;; esac
fi
counted install
