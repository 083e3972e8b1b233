/* SPDX-License-Identifier: MIT */
/* Stack: a spectrum on a plot, what each emitter gives of it one upon the other. */
#ifndef METAMER_PICTURE_LIGHT_STACK_H
#define METAMER_PICTURE_LIGHT_STACK_H

#include "picture/axes.h"

#include <metamer/fixture.h>
#include <metamer/spectrum.h>

/** Wavelengths that are drawn. */
#define MTMI_STACK_FIRST_NM 380
#define MTMI_STACK_LAST_NM 780

/** What is drawn. Borrowed. */
typedef struct mtmi_stack {
    const mtm_spectrum *sum;
    const mtm_fixture *fixture; /**< whose emitters are the parts; NULL: it is not parted */
    const double *level;
    double scale;                  /**< from the spectrum's values to those of the axis */
    const mtm_spectrum *reference; /**< dashed; NULL: none */
    double reference_scale;
    double top;       /**< of the axis of power */
    const char *axis; /**< its name */
} mtmi_stack;

/** The top of an axis from 0 that holds a peak above 0: round, with some room. */
double mtmi_axis_top(double peak);
/** The highest value that is drawn of a spectrum. */
double mtmi_stack_peak(const mtm_spectrum *spectrum);
/** Draws it with its axes. MTM_OK, MTM_MEMORY. */
MTM_CHECKED mtm_result mtmi_stack_draw(mtmi_canvas *canvas, mtmi_box box, const mtmi_stack *stack,
                                       mtm_error *error);
/** A hint of an emitter's own colour, brought in to what sRGB shows. */
mtmi_ink mtmi_emitter_ink(const mtm_emitter *emitter);

/** Lays a line through points, leaving out what does not show (under 0.15 px); a path that is begun
 *  goes on. */
void mtmi_lay_curve(mtmi_canvas *canvas, const mtmi_point *point, size_t count, bool goes_on);

#endif
