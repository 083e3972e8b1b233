/* SPDX-License-Identifier: MIT */
/* Pattern: names with * for any characters, ? for one and 1..4 for a number. */
#ifndef METAMER_RIG_PATTERN_H
#define METAMER_RIG_PATTERN_H

#include <stdbool.h>
#include <stddef.h>

#define MTMI_PATTERN_MAX 400 /**< most bytes of a pattern, as of a name */

/** One thing that a pattern wants. */
typedef struct mtmi_pattern_part {
    enum { MTMI_PART_BYTE, MTMI_PART_ANY, MTMI_PART_ONE, MTMI_PART_NUMBER } kind;
    char byte;            /**< MTMI_PART_BYTE */
    unsigned first, last; /**< MTMI_PART_NUMBER */
    size_t from, to;      /**< MTMI_PART_NUMBER: where it stands in the text */
} mtmi_pattern_part;

/** A pattern made ready. */
typedef struct mtmi_pattern {
    mtmi_pattern_part part[MTMI_PATTERN_MAX];
    size_t count;
    bool plain; /**< only bytes: a name */
} mtmi_pattern;

/** Makes a text of at most MTMI_PATTERN_MAX bytes ready. */
void mtmi_pattern_read(const char *text, mtmi_pattern *pattern);

/** Whether a whole name is like the pattern. */
bool mtmi_pattern_meets(const mtmi_pattern *pattern, const char *name);

#endif
