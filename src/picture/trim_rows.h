/* SPDX-License-Identifier: MIT */
/* Trim rows: what a picture of a trim or of a comparison shows of each unit, and its parts. */
#ifndef METAMER_PICTURE_TRIM_ROWS_H
#define METAMER_PICTURE_TRIM_ROWS_H

#include "picture/mark.h"
#include "picture/plane.h"

#include <metamer/trim_picture.h>

/** One unit. */
typedef struct mtmi_trim_row {
    const char *name;
    size_t number;        /**< from 1, in the order of the table */
    bool was_lit, is_lit; /**< before and after are known */
    mtm_uv before, after;
    mtm_verdict verdict; /**< of a comparison MTM_VERDICT_UNSTATED */
    double delta_uv;     /**< from the target; of a comparison from before to after */
    double expanded_uv;  /**< of that; 0: not stated */
    double most, given;  /**< lumens: outline and bar */
} mtmi_trim_row;

/** All that is drawn. */
typedef struct mtmi_trim_rows {
    mtmi_trim_row *row;
    size_t count;
    bool compared;        /**< of a comparison, not of a trim */
    mtm_uv target;        /**< the first, about which the planes lie */
    const mtm_uv *others; /**< targets of the other sets */
    size_t other_count;
    double tolerance_uv;    /**< 0: none */
    double common;          /**< output of all, lumens; 0: none is drawn */
    const mtm_meter *meter; /**< NULL, or without xy: no ellipse */
} mtmi_trim_rows;

/** Half the side of a neighbourhood of the target that holds all; that holds what is afterwards. */
double mtmi_trim_half_all(const mtmi_trim_rows *rows);
double mtmi_trim_half_after(const mtmi_trim_rows *rows);
/** Draws a neighbourhood: units, targets, tolerance, the meter's ellipse. with_before: arrows from
 *  where units were. */
MTM_CHECKED mtm_result mtmi_trim_plane_draw(mtmi_canvas *canvas, mtmi_box box,
                                            const mtmi_trim_rows *rows, double half,
                                            bool with_before, const char *heading,
                                            mtm_error *error);
/** A point of the ellipse (k = 2) within which one reading of a white scatters, at an angle of the
 *  circle that it comes of. */
mtm_uv mtmi_trim_ellipse_at(const mtm_meter *meter, mtm_uv white, double angle);

/** The mark of how a unit is now: a disc inside or in a comparison, a triangle outside, half a disc
 *  where it is not told, a square without a verdict. */
void mtmi_trim_mark(mtmi_canvas *canvas, mtmi_point at, const mtmi_trim_rows *rows,
                    const mtmi_trim_row *row);
/** Draws the list of units with the bars of their output. */
void mtmi_trim_list_draw(mtmi_canvas *canvas, mtmi_box box, mtmi_trim_rows *rows);

#endif
