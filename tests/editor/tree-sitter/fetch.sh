#!/bin/sh
# Puts the generator of tree-sitter into FOLDER, as FOLDER/tree-sitter: Debian 13 has it and Debian 12 has not, so its package is unpacked there,
# with the C library that it wants. Nothing of the system is touched. Usage: tests/editor/tree-sitter/fetch.sh FOLDER

mkdir -p "$1" && cd "$1" || exit 2
folder=$(pwd)
. /etc/os-release
command -v apt-get >/dev/null 2>&1 || { echo "no apt-get"; exit 1; }
# where this system has its own packages from, the next release stands beside it
mirror=$(apt-get update --print-uris 2>/dev/null | sed -n "s|^'\([^']*\)/dists/$VERSION_CODENAME/.*|\1|p" | head -n 1)
[ -n "$mirror" ] || { echo "apt-get names no place for $VERSION_CODENAME"; exit 1; }
mkdir -p lists/partial archives/partial unpacked packages || exit 2
echo "deb [signed-by=/usr/share/keyrings/debian-archive-keyring.gpg] $mirror trixie main" >sources.list
: >status
cat >apt.conf <<EOF
Dir::Etc::SourceList "$folder/sources.list";
Dir::Etc::SourceParts "/dev/null";
Dir::State "$folder";
Dir::State::status "$folder/status";
Dir::Cache "$folder";
APT::Sandbox::User "root";
Acquire::Languages "none";
Acquire::Retries "1";
Acquire::http::Timeout "30";
EOF
APT_CONFIG=$folder/apt.conf
export APT_CONFIG
apt-get update -qq >said 2>&1 && (cd packages && apt-get download -qq tree-sitter-cli libc6) >>said 2>&1 || { tail -n 1 said; exit 1; }
for package in packages/*.deb; do dpkg-deb -x "$package" unpacked || exit 1; done
loader=$(ls "$folder"/unpacked/usr/lib/*/ld-linux*.so.* 2>/dev/null | head -n 1)
cat >tree-sitter <<EOF
#!/bin/sh
exec "$loader" --library-path "$(dirname "$loader"):$(gcc -print-file-name=libgcc_s.so.1 | xargs dirname)" "$folder/unpacked/usr/bin/tree-sitter" "\$@"
EOF
rm -rf lists archives packages pkgcache.bin srcpkgcache.bin
chmod +x tree-sitter && ./tree-sitter --version >/dev/null 2>said || { rm -f tree-sitter; tail -n 1 said; exit 1; }
