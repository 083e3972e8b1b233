/* SPDX-License-Identifier: MIT */
/* Columns: the linear relaxation over whole universes' fillings, its bound and its rounding. */
#ifndef METAMER_PLAN_LAYOUT_COLUMNS_H
#define METAMER_PLAN_LAYOUT_COLUMNS_H

#include "plan/layout_bins.h"

/** Items of one size. */
typedef struct mtmi_column_kind {
    int size;
    size_t count;
} mtmi_column_kind;

/** Most kinds and the largest bin. */
#define MTMI_COLUMN_KINDS_MOST 512
#define MTMI_COLUMN_CAPACITY_MOST 4096

/**
 * A number of bins below which no packing exists, by column generation (Gilmore and Gomory,
 * Operations Research 9, 1961): the least fractional number of fillings that hold all items, with
 * Farley's bound (Operations Research 38, 1990), which holds however early the iteration stops.
 *
 * @param kinds    sizes 1..capacity, falling, each once
 * @param capacity of a bin, at most MTMI_COLUMN_CAPACITY_MOST
 * False if out of memory.
 */
bool mtmi_columns_bound(const mtmi_column_kind *kinds, size_t count, int capacity, size_t *least);

/** The kinds of a histogram of MTMI_UNIVERSE_SLOTS + 1 places; returns their number. */
size_t mtmi_columns_kinds(const size_t *histogram, mtmi_column_kind *kinds);

/** A packing by rounding that relaxation down again and again. False if out of memory. */
bool mtmi_columns_pack(const mtmi_pack *pack, size_t *bin);

#endif
