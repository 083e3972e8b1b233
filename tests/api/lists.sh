#!/bin/sh
# SPDX-License-Identifier: MIT
# Every file of a folder that is compiled or installed stands in its meson.build, and the lists there
# are sorted, one file a line: a source that is in no list would be left out without a word.
# Usage: lists.sh ROOT
set -eu
cd "$1"
export LC_ALL=C
status=0
listed=$(mktemp)
trap 'rm -f "$listed"' EXIT
complain() { echo "$*"; status=1; }

check() { # check FOLDER SUFFIX|...
  folder=$1 suffix=$2
  grep -oE "'[a-z0-9_./-]+\.($suffix)'" "$folder/meson.build" | tr -d "'" >"$listed"
  for file in $(cd "$folder" && find . -type f ! -path './corpus/*' | cut -c 3- |
    grep -E "\.($suffix)$" | grep -vxFf "$listed"); do
    complain "$folder/meson.build does not list $file"
  done
  # sorted are lines that begin with a file, or with a test and its file
  awk -v folder="$folder" -v status=0 '
    !/^  (\[.*files\()?\x27[a-z0-9_.\/-]+\x27.*,$/ { last = ""; next }
    { name = $0; sub(/^  (\[.*files\()?\x27/, "", name); sub(/\x27.*/, "", name) }
    name <= last { print folder "/meson.build lists " name " behind " last; status = 1 }
    { last = name }
    END { exit status }' "$folder/meson.build" || status=1
}

for build in src/*/meson.build tests/*/meson.build; do
  [ "$build" = src/data/meson.build ] || check "${build%/meson.build}" c
done
check src/data csv
check include/metamer h
check profiles 'csv|json'
check examples 'c|csv|json|md'
exit "$status"
