/* SPDX-License-Identifier: MIT */
/* Grid of a sheet of swatches: how many columns and rows there is room for, and where they stand.
 */
#ifndef METAMER_PICTURE_PALETTE_GRID_H
#define METAMER_PICTURE_PALETTE_GRID_H

#include "picture/palette/rows.h"

#include <stddef.h>

/** Bands of columns below each other, each with its head and all rows. Lengths in px or points; all
 *  of them go by the height of the type. */
typedef struct mtmi_palette_grid {
    double type;        /**< height of the type */
    double name;        /**< width of the rows' names */
    double column, row; /**< width, and height, of a cell */
    double head;        /**< height of a band's head: names, and what was wanted */
    double head_words;  /**< of it, the names */
    bool turned;        /**< the names stand upright */
    size_t columns;     /**< of a band */
    size_t bands;
    size_t row_count;    /**< rows that there is room for */
    size_t column_count; /**< colours that there is room for */
    double height;       /**< of all */
} mtmi_palette_grid;

/** Heights of the type between bands. */
#define MTMI_PALETTE_BANDS_APART 1.5

/** Lays a grid out in a width; in this height, as many rows and colours as have room, at least one
 *  of each. */
mtmi_palette_grid mtmi_palette_grid_fit(const mtmi_palette_rows *rows, double width, double height,
                                        double type);

#endif
