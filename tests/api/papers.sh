#!/bin/sh
# SPDX-License-Identifier: MIT
# The papers name what exists: every `path/to/file` with an ending, and every link to a file, in
# README.md, DEVELOPERS.md and examples/*.md. NAME in a path stands for any, build/ for what is built.
# Usage: papers.sh ROOT
set -eu
cd "$1"

{
  # `src/...`, `tests/...` and the like, and `header.h`
  grep -oH '`[^` ]*`' README.md DEVELOPERS.md examples/*.md | tr -d '`' | sed 's/:/ /' |
    while read -r paper path; do
      case $path in
      *NAME* | build/* | \<* | *…* | *\** | -*) ;;
      src/* | include/* | tests/* | profiles/* | examples/*) echo "$paper $path" ;;
      */*.[ch]) echo "$paper src/$path" ;;
      *.h) echo "$paper include/metamer/$path" ;;
      esac
    done
  # [text](file)
  grep -oH '](\([^):#]*\))' README.md DEVELOPERS.md examples/*.md | sed 's/:](/ /; s/)$//' |
    while read -r paper path; do
      echo "$paper $(dirname "$paper")/$path"
    done
} | awk '
{ count++; if (system("test -e \"" $2 "\"") != 0) { print $1 ": there is no " $2; bad = 1 } }
END {
    if (count < 60) { print "only " count " names were found"; bad = 1 }
    if (!bad) print count " names of files in the papers, all there"
    exit bad
}'
