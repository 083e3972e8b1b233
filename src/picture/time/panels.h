/* SPDX-License-Identifier: MIT */
/* Panels: lines over one common time, one plot below the other. */
#ifndef METAMER_PICTURE_TIME_PANELS_H
#define METAMER_PICTURE_TIME_PANELS_H

#include "picture/axes.h"
#include "picture/label.h"

#include <metamer/base.h>

/** How the values of a line are joined. */
typedef enum mtmi_join {
    MTMI_JOIN_STRAIGHT = 0,
    MTMI_JOIN_HOLD, /**< each holds until the next */
    MTMI_JOIN_REACH /**< each is of the time since the one before */
} mtmi_join;

/** A line of a panel: dash and ink go by its index, the same in every panel. */
typedef struct mtmi_panel_line {
    const char *name;    /**< words at the line; NULL: none */
    unsigned index;      /**< of ink and dash */
    const double *value; /**< by moment; NaN: a gap */
} mtmi_panel_line;

/** One panel. */
typedef struct mtmi_panel {
    const char *heading; /**< what is plotted, with its unit behind a comma */
    double from, to;     /**< of the y axis */
    mtmi_join join;
    const mtmi_panel_line *line;
    size_t lines;
    const char *empty;      /**< said where no line has a value */
    const char *limit_name; /**< NULL: no limit */
    double limit;           /**< above it is the far side */
} mtmi_panel;

/** The moments of all panels. */
typedef struct mtmi_panel_times {
    const double *time_s; /**< rising */
    size_t count;         /**< 1 or more */
} mtmi_panel_times;

/** The least and the largest value of lines; both are NaN where there is none. */
typedef struct mtmi_span {
    double least, most;
} mtmi_span;
mtmi_span mtmi_panel_span(const mtmi_panel_line *line, size_t lines, size_t count);

/** Pen of a line's index. */
mtmi_pen mtmi_panel_pen(const mtmi_canvas *canvas, unsigned index);

/** Draws panels, time below the last. MTM_OK, MTM_MEMORY. */
MTM_CHECKED mtm_result mtmi_panels_draw(mtmi_canvas *canvas, mtmi_box box,
                                        const mtmi_panel_times *times, const mtmi_panel *panel,
                                        size_t panels, mtm_error *error);

#endif
