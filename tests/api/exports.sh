#!/bin/sh
# SPDX-License-Identifier: MIT
# The shared library exports functions of the headers and nothing else. Data would be copied into
# programs when they are linked: a table that grows would break them.
# Usage: exports.sh LIBRARY NM HEADER_FOLDER
set -eu
library=$1 nm=$2 headers=$3
export LC_ALL=C
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT

# the assembler of some machines marks functions of the library with another letter than T: i, W
"$nm" -D --defined-only "$library" | awk 'NF == 3 && $2 !~ /^[TtiW]$/ { print "exported, but no function: " $3 }' \
  >"$work/data"
"$nm" -D --defined-only "$library" | awk 'NF == 3 { sub(/@.*/, "", $3); print $3 }' |
  grep -vE '^(_init|_fini|_edata|_end|__bss_start)$' | sort -u >"$work/exported"
cat "$headers"/*.h "$headers"/*.h.in | tr '\n' ' ' | grep -oE 'MTM_API [^;]*;' |
  grep -oE 'mtm_[a-z0-9_]+\(' | tr -d '(' | sort -u >"$work/declared"
[ -s "$work/declared" ] || { echo "no function was found in $headers"; exit 1; }
comm -23 "$work/exported" "$work/declared" | sed 's/$/ is exported, but in no header/' >"$work/wrong"
comm -13 "$work/exported" "$work/declared" | sed 's/$/ is in a header, but not exported/' >>"$work/wrong"
cat "$work/data" "$work/wrong"
[ ! -s "$work/data" ] && [ ! -s "$work/wrong" ]
