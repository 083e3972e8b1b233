/* SPDX-License-Identifier: MIT */
/* Columns: the linear relaxation over whole universes' fillings, its bound and its rounding. */
#ifndef METAMER_CONTROL_LAYOUT_COLUMNS_H
#define METAMER_CONTROL_LAYOUT_COLUMNS_H

#include "control/layout_pack.h"

/**
 * A number of universes below which no packing exists, by column generation (Gilmore and Gomory,
 * Operations Research 9, 1961): the least fractional number of fillings that hold all items, with
 * Farley's bound (Operations Research 38, 1990), which holds however early the iteration stops.
 *
 * @param histogram items by size, MTMI_UNIVERSE_SLOTS + 1 places
 * False if out of memory.
 */
bool mtmi_columns_bound(const size_t *histogram, size_t *least);

/** A packing by rounding that relaxation down again and again. False if out of memory. */
bool mtmi_columns_pack(const mtmi_pack *pack, size_t *bin);

#endif
