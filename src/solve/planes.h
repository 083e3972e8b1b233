/* SPDX-License-Identifier: MIT */
/* Rows: a table of planes, searched for the one that is greatest at a point. */
#ifndef METAMER_SOLVE_PLANES_H
#define METAMER_SOLVE_PLANES_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

/* Searches take rows in groups of this many. */
#define MTMI_PLANE_GROUP 8
/* Bytes of a cache line, on which groups begin: a load across two lines is two loads. */
#define MTMI_LINE 64

/** Rows a . p - h, held by column. Filled up to whole groups with rows that never win. */
struct mtmi_planes {
    double *a[3];
    double *h;
    size_t count;  /* a multiple of MTMI_PLANE_GROUP */
    size_t cells;  /* the rows that stand for cells; the first ones */
    size_t first;  /* the cell of row 0 */
    uint64_t mask; /* 2^k - 1 >= count - 1 */
};

/* A search gives the greatest value with its row in the value's last bits, so that the two are
 * found together and without a branch; the value is exact to count roundings. */

/** The row of a value found. */
static inline size_t mtmi_plane_of(const struct mtmi_planes *rows, double found)
{
    uint64_t bits;

    memcpy(&bits, &found, sizeof bits);
    return (size_t)(bits & rows->mask);
}

#endif
