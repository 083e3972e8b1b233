/* SPDX-License-Identifier: MIT */
/* Columns: the linear relaxation over whole bins' fillings, its bound and its rounding. */
#ifndef METAMER_PLAN_LAYOUT_COLUMNS_H
#define METAMER_PLAN_LAYOUT_COLUMNS_H

#include "plan/layout_bound.h"

/** Most sizes, and the largest bin. */
#define MTMI_COLUMN_SIZES_MAX 512

/**
 * A number of equal bins below which no packing exists, by column generation (Gilmore and Gomory,
 * Operations Research 9, 1961): the least fractional number of fillings that hold everything, with
 * Farley's bound (Operations Research 38, 1990), which holds however early the iteration stops.
 *
 * @param runs     whole sizes 1..capacity, falling, each once; at most MTMI_COLUMN_SIZES_MAX
 * @param capacity of a bin
 * False if out of memory. The same numbers are added in the same order on every machine.
 */
bool mtmi_columns_bound(const mtmi_size_run *runs, size_t run_count, int capacity, size_t *least);

/** Fillings, one after the other, that take sizes no more often than they are there. */
typedef struct mtmi_columns {
    uint16_t
        *fillings; /**< [filling][run]: how often each size stands in it; the caller frees it */
    size_t
        count; /**< fillings; what they leave over was not planned, as the work allowed was spent */
} mtmi_columns;

/** Plans fillings by rounding that relaxation down again and again. False if out of memory. */
bool mtmi_columns_plan(const mtmi_size_run *runs, size_t run_count, int capacity,
                       mtmi_columns *columns);

#endif
