/* SPDX-License-Identifier: MIT */
/* Layout plan: what a picture of a layout shows, gathered: universes and ports with their units. */
#ifndef METAMER_PICTURE_PLAN_LAYOUT_PLAN_H
#define METAMER_PICTURE_PLAN_LAYOUT_PLAN_H

#include "canvas/canvas.h"

#include <metamer/layout_picture.h>

/** Slots of a row of a universe's grid. */
#define MTMI_SLOTS_IN_ROW 32

/** Units on a universe, or on a port. */
typedef struct mtmi_plan_run {
    size_t first, count; /**< in the order of universes, or of ports */
    int universe;        /**< of a universe */
    int supply, port;    /**< of a port; -1 and 0 where they are open */
    double watts;        /**< of a port, all full */
    size_t slots;        /**< of a universe: used */
} mtmi_plan_run;

/** All that is drawn. */
typedef struct mtmi_layout_plan {
    const mtm_layout_view *of;
    size_t units;
    size_t *by_slot, *by_port; /**< units in these orders */
    mtmi_plan_run *universe;
    size_t universe_count;
    mtmi_plan_run *port;
    size_t port_count;
    size_t *kind; /**< by unit: number of its fixture and mode */
    size_t readdressed, replugged;
} mtmi_layout_plan;

/** Gathers. mtmi_layout_plan_free it, also after a failure. MTM_OK, MTM_MEMORY. */
MTM_CHECKED mtm_result mtmi_layout_plan_gather(const mtm_layout_view *of, mtmi_layout_plan *plan,
                                               mtm_error *error);
void mtmi_layout_plan_free(mtmi_layout_plan *plan);
/** True where a unit must be addressed, or plugged, by hand. */
bool mtmi_plan_readdressed(const mtm_layout_view *view, size_t unit);
bool mtmi_plan_replugged(const mtm_layout_view *view, size_t unit);

/** Draws the universes into a box, and the riser. */
void mtmi_universes_draw(mtmi_canvas *canvas, mtmi_box box, const mtmi_layout_plan *plan);
void mtmi_riser_draw(mtmi_canvas *canvas, mtmi_box box, const mtmi_layout_plan *plan);

#endif
