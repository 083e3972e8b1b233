/* SPDX-License-Identifier: MIT */
/* Progress: a line that is written over, on a terminal only, for what takes more than a second. */
#ifndef METAMER_CLI_OUT_PROGRESS_H
#define METAMER_CLI_OUT_PROGRESS_H

#include <stdint.h>
#include <stdio.h>

/** Zeroed shows nothing. */
struct progress {
    FILE *err; /* NULL: not a terminal */
    uint64_t began_ns, told_ns;
};

/** Begins; err is looked at, whether it is a terminal. */
struct progress progress_begin(FILE *err);
/** Shows "what: 60 %" now and then, after the first second. part is 0..1. */
void progress_show(struct progress *progress, const char *what, double part);
/** Wipes the line. */
void progress_end(const struct progress *progress);

#endif
