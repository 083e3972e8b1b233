#!/bin/sh
# SPDX-License-Identifier: MIT
# What a build without cairo has in place of a canvas knows every function of canvas.h.
# Usage: stub.sh ROOT
set -eu
cd "$1/src/canvas"
status=0
names=$(tr '\n' ' ' <canvas.h | grep -oE '[ *]mtmi_[a-z_]+\([^)]*\)[^;{]*;' | grep -oE 'mtmi_[a-z_]+\(' | tr -d '(' | sort -u)
[ "$(echo "$names" | wc -l)" -gt 20 ] || { echo "too few functions were found"; exit 1; }
for name in $names; do
  grep -qE "[ (*]$name[,(]" paint_stub.c figure.c || { echo "paint_stub.c lacks $name"; status=1; }
done
exit "$status"
