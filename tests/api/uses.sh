#!/bin/sh
# SPDX-License-Identifier: MIT
# Every public function is called by somebody other than the tests: by the library in a file that
# does not define it, by the command, or by an example.
# Usage: uses.sh ROOT
set -eu
cd "$1"
export LC_ALL=C
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT

cat include/metamer/*.h include/metamer/*.h.in | tr '\n' ' ' | grep -oE 'MTM_API [^;]*;' |
  grep -oE 'mtm_[a-z0-9_]+\(' | tr -d '(' | sort -u >"$work/public"
[ -s "$work/public" ] || { echo "no public function was found"; exit 1; }
# A definition begins its line with a type, all else is a use: names stand in tables too, without a
# parenthesis.
find src examples -name '*.c' -exec awk '
  { definition = /^[a-z].*[ *]mtm_[a-z0-9_]+\(/ }
  /^ *\* / { next } # of a comment
  {
    gsub(/\/\*.*\*\/|\/\/.*|"[^"]*"/, " ")
    while (match($0, /mtm_[a-z0-9_]+/)) {
      name = substr($0, RSTART, RLENGTH)
      defines = definition && substr($0, RSTART + RLENGTH, 1) == "("
      before = RSTART > 1 ? substr($0, RSTART - 1, 1) : " "
      $0 = substr($0, RSTART + RLENGTH)
      if (before !~ /[a-z0-9_]/) print defines ? "definition" : "use", name, FILENAME
      if (defines) definition = 0
    }
  }' {} + | sort -u >"$work/names"
sed -n 's/^use //p' "$work/names" >"$work/uses"
sed -n 's/^definition //p' "$work/names" >"$work/definitions"
sort -u "$work/uses" | comm -23 - "$work/definitions" | cut -d ' ' -f 1 | sort -u >"$work/used"
comm -23 "$work/public" "$work/used" >"$work/unused"
sed 's/$/ is public, but only tests use it/' "$work/unused"
[ ! -s "$work/unused" ]
