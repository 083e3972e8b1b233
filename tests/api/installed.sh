#!/bin/sh
# SPDX-License-Identifier: MIT
# What is installed is whole: papers whose links lead somewhere, manual pages, completions, profiles,
# examples, every public header; and a program outside the tree is built and run by pkg-config alone.
# Usage: installed.sh SOURCE BUILD MESON COMPILER...
set -eu
source=$1 build=$2 meson=$3
shift 3
root=$(mktemp -d)
trap 'rm -rf "$root"' EXIT
status=0
complain() { echo "$*"; status=1; }
holds() { # holds FILE PATTERN
  [ -s "$1" ] || { complain "there is no $1"; return; }
  grep -q "$2" "$1" || complain "$1 does not hold $2"
}

DESTDIR=$root "$meson" install -C "$build" --no-rebuild >"$root/log" 2>&1 ||
  { cat "$root/log"; exit 1; }
pc=$(find "$root" -name metamer.pc)
[ -n "$pc" ] || { echo "there is no metamer.pc"; exit 1; }
prefix=$root$(sed -n 's/^prefix=//p' "$pc")
share=$prefix/share
doc=$share/doc/metamer

holds "$doc/LICENSE" MIT
for paper in README.md DEVELOPERS.md $(cd "$source" && echo examples/*.md); do
  cmp -s "$source/$paper" "$doc/$paper" || complain "$paper is not installed as it is"
  for link in $(grep -o '](\([^):#]*\))' "$source/$paper" | sed 's/^](//; s/)$//'); do
    [ -f "$doc/$(dirname "$paper")/$link" ] || complain "$paper links to $link, not installed"
  done
done
for file in $(cd "$source" && ls examples/*.c examples/*.json examples/*.csv profiles/*.json); do
  case $file in
  examples/*) [ -s "$doc/$file" ] || complain "$file is not installed" ;;
  profiles/*) [ -n "$(find "$share" -path "*/$file")" ] || complain "$file is not installed" ;;
  esac
done
for header in $(cd "$source/include" && ls metamer/*.h) metamer/version.h; do
  [ -s "$prefix/include/$header" ] || complain "$header is not installed"
done

date='"[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]"'
holds "$share/man/man1/metamer.1" "^.TH METAMER 1 $date"
holds "$share/man/man1/metamer.1" '^.SH FILES$'
holds "$share/man/man5/metamer-files.5" "^.TH METAMER-FILES 5 $date"
for kind in fixture rig show readings calibration filter meter; do
  holds "$share/man/man5/metamer-files.5" "^.SH FILES OF KIND $kind/1"
done
holds "$share/bash-completion/completions/metamer.bash" complete
holds "$share/zsh/site-functions/_metamer" '#compdef metamer'
holds "$share/fish/vendor_completions.d/metamer.fish" 'complete -c metamer'

# The library as a stranger takes it: nothing of the source, found by pkg-config alone.
export PKG_CONFIG_PATH="${pc%/*}"
config() { pkg-config --define-variable=prefix="$prefix" "$@" metamer; }
lib=$(config --variable=libdir)
version=$(config --modversion)
case $version in
0.*) soversion=${version%.*} ;;
*) soversion=${version%%.*} ;;
esac
[ -f "$lib/libmetamer.so.$soversion" ] || complain "there is no libmetamer.so.$soversion"
mkdir "$root/outside"
cd "$root/outside"
cp "$doc/examples/one_white.c" .
# shellcheck disable=SC2046
"$@" -std=c17 -o one_white one_white.c $(config --cflags --libs) || exit 1
export LD_LIBRARY_PATH="$lib"
./one_white "$(find "$share" -name warm-white.csv)" >said || complain "the program outside fails"
holds said '^warm-white: [0-9]* K'
# and it runs by the soname, which names what it was built for
rm -f "$lib/libmetamer.so"
./one_white "$(find "$share" -name warm-white.csv)" >/dev/null || complain "the soname is not found"
rm -f "$lib/libmetamer.so.$soversion"
! ./one_white /dev/null 2>/dev/null || complain "a library of another soname is taken"
holds_version=$("$prefix/bin/metamer" --version)
[ "$holds_version" = "metamer $version" ] || complain "the command is of version $holds_version"
[ "$status" -ne 0 ] || echo "installed: whole, and a program outside runs"
exit "$status"
