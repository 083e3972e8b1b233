/* SPDX-License-Identifier: MIT */
/* Fixture: the parts of the picture of a fixture. */
#ifndef METAMER_PICTURE_LIGHT_FIXTURE_H
#define METAMER_PICTURE_LIGHT_FIXTURE_H

#include "canvas/canvas.h"

#include <metamer/fixture.h>
#include <metamer/solve.h>

/** What is drawn. Borrowed, but for the solver. */
typedef struct mtmi_fixture_view {
    const mtm_fixture *fixture; /**< as the file has it */
    const mtm_fixture *light;   /**< the same, or what its first mode spans */
    mtm_observer observer;
    mtm_solver *solver; /**< of light */
    mtm_xy corner[MTM_EMITTERS_MAX];
    size_t corner_count;
    const mtm_mixing
        *dims; /**< where the colour of light goes with its output; NULL: it does not */
} mtmi_fixture_view;

/** Points of the line that a colour goes which goes with its output. */
#define MTMI_DIMS_POINTS 49
/** The share of the light at one of them, from full down to 1 % or to where the colour rests. */
double mtmi_dims_share(const mtm_mixing *dims, int point);

/** Whites, colour temperature against Duv, shaded by output. MTM_OK, MTM_MEMORY. */
MTM_CHECKED mtm_result mtmi_fixture_whites_draw(mtmi_canvas *canvas, mtmi_box box,
                                                const mtmi_fixture_view *view, mtm_error *error);
/** Spectra of the emitters at full. MTM_OK, MTM_MEMORY. */
MTM_CHECKED mtm_result mtmi_fixture_spectra_draw(mtmi_canvas *canvas, mtmi_box box,
                                                 const mtmi_fixture_view *view, mtm_error *error);
/** Light by code of each curve, straight and down to the first codes. MTM_OK, MTM_MEMORY. */
MTM_CHECKED mtm_result mtmi_fixture_curves_draw(mtmi_canvas *canvas, mtmi_box box,
                                                const mtmi_fixture_view *view, mtm_error *error);

#endif
