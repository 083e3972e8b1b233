#!/bin/sh
# SPDX-License-Identifier: MIT
# Includes point left: base, data, colour, fixture, solve, control, show, cli; never to a room on the
# right. A public header belongs to the room that holds a source of its name, or else to that
# of a source that includes it first. Usage: includes.sh ROOT
set -eu
cd "$1"

rank() {
    case $1 in
    base) echo 0 ;; data) echo 1 ;; colour) echo 2 ;; fixture) echo 3 ;; solve) echo 4 ;;
    control) echo 5 ;; show) echo 6 ;; cli) echo 7 ;;
    *) echo "no room is called $1" >&2; exit 1 ;;
    esac
}

# "header.h room" for each source that includes a public header first: its own.
owners=$(awk 'FNR == 1 { seen = 0 }
    !seen && /^#include/ {
        seen = 1
        if (match($2, /^<metamer\//)) { split(FILENAME, part, "/"); print substr($2, 10, length($2) - 10), part[2] }
    }' src/*/*.c)

includes_of() {
    sed -n 's/^# *include [<"]\([a-z0-9_]*\/[a-z0-9_]*\.h\)[>"].*/\1/p' "$1"
}

room_of_header() {
    case $1 in base.h | version.h) echo base; return ;; esac
    for source in src/*/"${1%.h}.c"; do
        if [ -f "$source" ]; then
            basename "$(dirname "$source")"
            return
        fi
    done
    owner=$(echo "$owners" | awk -v header="$1" '$1 == header { print $2; exit }')
    if [ -z "$owner" ]; then # no source yet: as far right as what it includes itself
        owner=base
        for needed in $(includes_of "include/metamer/$1"); do
            needed=$(room_of_header "${needed#*/}")
            [ "$(rank "$needed")" -le "$(rank "$owner")" ] || owner=$needed
        done
    fi
    echo "$owner"
}

bad=0
count=0
for file in src/*/*.c src/*/*.h include/metamer/*.h; do
    case $file in
    include/*) room=$(room_of_header "$(basename "$file")") ;;
    *) room=$(basename "$(dirname "$file")") ;;
    esac
    mine=$(rank "$room")
    for included in $(includes_of "$file"); do
        folder=${included%/*}
        case $folder in
        metamer) other=$(room_of_header "${included#*/}") ;;
        base | data | colour | fixture | solve | control | show | cli) other=$folder ;;
        *) continue ;; # of the system
        esac
        count=$((count + 1))
        if [ "$(rank "$other")" -gt "$mine" ]; then
            echo "$file ($room) includes $included ($other): an include never points right"
            bad=1
        fi
    done
done
[ "$count" -gt 50 ] || { echo "only $count includes were found"; exit 1; }
[ $bad -eq 0 ] && echo "$count includes, all to the left or within their room"
exit $bad
