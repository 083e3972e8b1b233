#!/bin/sh
# SPDX-License-Identifier: MIT
# The comments of the public headers keep their word: each function that returns mtm_result names a
# result other than MTM_OK, or points to the comment of mtm_result, where those stand that many
# share; each opaque type says what threads may do. (That nothing lacks a comment is Doxygen's to
# prove, see Doxyfile.)
# Usage: comments.sh ROOT
set -eu
cd "$1"

awk '
FNR == 1 { comment = "" }
/^\/\*\*/ { comment = ""; open = 1 }
open { comment = comment "\n" $0; if (/\*\//) open = 0; next }
/^MTM_API MTM_CHECKED mtm_result( |$)/ {
    functions++
    if (comment !~ /MTM_(INVALID|RANGE|PARSE|LIMIT|NOT_FOUND|UNSUPPORTED|IO|MEMORY)|mtm_result/) {
        print FILENAME ":" FNR ": names no result by which it fails: " $4
        bad = 1
    }
}
/^typedef struct [a-z0-9_]+ [a-z0-9_]+;$/ {
    types++
    if (comment !~ /thread/) {
        print FILENAME ":" FNR ": says nothing of threads: " $4
        bad = 1
    }
}
/^MTM_API (const )?mtm_result / { print FILENAME ":" FNR ": a result that may be ignored"; bad = 1 }
/;$/ || /^$/ { comment = "" }
END {
    if (functions < 140 || types < 20) {
        print "only " functions + 0 " functions and " types + 0 " opaque types were found"
        bad = 1
    }
    if (!bad) print functions " functions name how they fail, " types " types what threads may do"
    exit bad
}' include/metamer/*.h
