#!/bin/sh
# SPDX-License-Identifier: MIT
# The lines of C in the README as a file that compiles: what they take for granted stands about them.
# Usage: excerpt.sh README.md
set -eu
cat <<'X'
#include <metamer/codes.h>
#include <metamer/fixture.h>
#include <metamer/solve.h>
#include <metamer/white.h>

int fail(const mtm_error *error);
int readme_excerpt(uint8_t *slot);

int readme_excerpt(uint8_t *slot)
{
    mtm_fixture *fixture = NULL;
    mtm_solver *solver = NULL;
    mtm_coder *coder = NULL;
    mtm_answer answer;
    mtm_codes codes;
    mtm_error error;
X
sed -n '/^```c$/,/^```$/{/^```/!p}' "$1"
cat <<'X'
    return 0;
}
X
