#!/bin/sh
# SPDX-License-Identifier: MIT
# The rooms of src/ as DEVELOPERS.md lists them, from left to right: every folder and every public
# header stands in that table; an include never points right; no circle stands among files, a file
# being its .c and .h together; no folder holds over 40 files, none over a fifth of the lines.
# Usage: rooms.sh ROOT
set -eu
cd "$1"

find src include/metamer -name '*.[ch]' | LC_ALL=C sort | xargs awk -v bad=0 '
function complain(text) { print text; bad = 1 }
function stem_of(path) { sub(/\.[ch]$/, "", path); return path }
BEGIN { # the table: | `room/` | what it holds | public headers |
    while ((getline line < "DEVELOPERS.md") > 0) {
        if (line !~ /^\| `[a-z_]+\/` \|/) continue
        split(line, cell, "|")
        room = cell[2]; gsub(/[ `\/]/, "", room)
        rank[room] = ++rooms
        count = split(cell[4], word, /[ `,]+/)
        for (i = 1; i <= count; i++) if (word[i] ~ /\.h$/) home[word[i]] = room
    }
    home["version.h"] = "base"
    if (rooms < 10) complain("DEVELOPERS.md lists only " rooms " rooms")
}
FNR == 1 {
    public = FILENAME ~ /^include\//
    name = FILENAME; sub(/.*\//, "", name)
    folder = FILENAME; sub(/\/[^\/]*$/, "", folder)
    split(FILENAME, part, "/")
    room = public ? home[name] : part[2]
    if (!(room in rank)) complain(FILENAME ": no room of it stands in DEVELOPERS.md (" room ")")
    if (!public) { files[folder]++; node = stem_of(substr(FILENAME, 5)) }
}
!public { lines[folder]++; all++ }
/^# *include [<"][a-z0-9_]+\// {
    match($0, /[<"][^>"]+/)
    header = substr($0, RSTART + 1, RLENGTH - 1)
    split(header, part, "/")
    if (part[1] == "metamer") { other = home[part[2]] }
    else if (part[1] in rank) {
        other = part[1]
        to = stem_of(header)
        if (!public && to != node && !((node, to) in edge)) { edge[node, to] = 1; out[node]++; into[to] = into[to] " " node }
    } else next
    includes++
    if (rank[other] > rank[room])
        complain(FILENAME " (" room ") includes " header " (" other "): an include never points right")
}
END {
    if (includes < 500) complain("only " includes " includes were found")
    for (folder in files) {
        if (files[folder] > 40) complain(folder " holds " files[folder] " files; at most 40")
        if (lines[folder] > all / 5) complain(folder " holds " lines[folder] " of " all " lines; at most a fifth")
    }
    # Files that include nothing more are taken away, until none is left; what remains is a circle.
    for (pair in edge) { split(pair, end, SUBSEP); left[end[1]] = 1; left[end[2]] = 1 }
    for (removed = 1; removed > 0;) {
        removed = 0
        for (file in left) {
            if (out[file] > 0) continue
            count = split(into[file], before, " ")
            for (i = 1; i <= count; i++) out[before[i]]--
            delete left[file]
            removed++
        }
    }
    for (file in left) complain("src/" file " stands in or above a circle of includes")
    if (!bad) print includes " includes in " rooms " rooms, all to the left or within their room, no circle"
    exit bad
}'
