/* SPDX-License-Identifier: MIT */
/* Panels: lines over one common time, one plot below the other. */
#ifndef METAMER_PICTURE_TIME_PANELS_H
#define METAMER_PICTURE_TIME_PANELS_H

#include "base/text.h"
#include "picture/axes.h"
#include "picture/label.h"
#include "picture/make.h"

#include <metamer/colour.h>
#include <metamer/white.h>

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
    bool asked;          /**< what it should be: thin, whatever the index */
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
    const double *mark_s; /**< times that are marked by upright lines; marks of them */
    size_t marks;
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

/* What pictures over time share. */

/** Least spans of axes, so that noise is not stretched over a panel. */
#define MTMI_PANEL_CCT_K 100.0
#define MTMI_PANEL_DUV 0.004
/** Colours of a lower L* are not seen: as mtm_fade_finding has it. */
#define MTMI_PANEL_SEEN 2.0
/** Letters of a unit's name that are written. */
#define MTMI_PANEL_NAME 48

/** Makes an axis from 0 to 8 % above the largest value, at least so far. */
void mtmi_panel_from_zero(mtmi_panel *panel, size_t count, double least_most);
/** Makes an axis about the values, at least so wide; about the usual where there is none. */
void mtmi_panel_about(mtmi_panel *panel, size_t count, double least_span, double usual);
/** The chromaticity of a light; NaN where it is not seen. */
mtm_xy mtmi_panel_colour(mtm_xyz light, bool seen);
/** Its white; NaN where it has none, or none is defined. */
mtm_white mtmi_panel_white(mtm_xy xy, bool defined);
/** "1" to "6" for index 0 to 5. */
const char *mtmi_panel_number(size_t index);
/** "2 front and 3 alike"; number may be NULL. */
void mtmi_panel_name(const char *number, const char *name, size_t others, mtmi_text *text);
/** Room for panels (large) and for the diagram (small). Where nothing moves, all is the diagram's.
 */
mtmi_parts mtmi_over_time(mtmi_box box, bool moves);

#endif
