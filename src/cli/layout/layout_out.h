/* SPDX-License-Identifier: MIT */
/* Layout output: a layout as a table, as JSON or as CSV. */
#ifndef METAMER_CLI_LAYOUT_LAYOUT_OUT_H
#define METAMER_CLI_LAYOUT_LAYOUT_OUT_H

#include "cli/args/picture.h"
#include "cli/out/writer.h"

#include <metamer/layout.h>

/** A layout to be written. */
struct layout_view {
    const mtm_rig *rig;     /**< as read, with supplies that were added */
    const mtm_place *was;   /**< one a unit: as read */
    const mtm_place *place; /**< one a unit: as laid out */
    size_t supplies_was;    /**< before any was added */
    mtm_layout_report report;
    const char *written; /**< file that was written; NULL: none */
    const char *backup;  /**< where the old file was kept; NULL: nowhere */
};

/** Draws universes and riser, to where --picture says. */
MTM_CHECKED mtm_result layout_put_picture(const struct args *args,
                                          const struct picture_request *request,
                                          const struct layout_view *view, struct outlet *to,
                                          mtm_error *error);

/** table, json, csv; ends with a NULL name. */
extern const struct writer layout_writers[];

/** True if unit i must be given another universe or address by hand. */
bool layout_readdressed(const struct layout_view *view, size_t unit);
/** True if unit i must be plugged elsewhere. */
bool layout_replugged(const struct layout_view *view, size_t unit);
/** True if nothing has changed. */
bool layout_unchanged(const struct layout_view *view);

#endif
