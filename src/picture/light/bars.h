/* SPDX-License-Identifier: MIT */
/* Bars: indices side by side, numbered from 1, to 100 at most. */
#ifndef METAMER_PICTURE_LIGHT_BARS_H
#define METAMER_PICTURE_LIGHT_BARS_H

#include "picture/axes.h"

/** What is drawn. Borrowed. */
typedef struct mtmi_bars {
    const double *value;
    int count;
    const char *prefix;    /**< of the numbers in words: "R" */
    const char *axis;      /**< name of the axis of numbers */
    double bottom;         /**< of the other axis: 0, or less for values below it */
    int named;             /**< number of a bar whose value is written at it; 0: none */
    const char *line_name; /**< of a line across at the height */
    double line;
    int line_count; /**< bars that it is the mean of: over these it runs; 0: all */
} mtmi_bars;

void mtmi_bars_draw(mtmi_canvas *canvas, mtmi_box box, const mtmi_bars *bars);

#endif
