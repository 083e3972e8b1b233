/* SPDX-License-Identifier: MIT */
/* Linked lines: the values of a course of linked cues, as lines over time and as ways. */
#ifndef METAMER_PICTURE_TIME_LINKED_LINES_H
#define METAMER_PICTURE_TIME_LINKED_LINES_H

#include "base/pool.h"
#include "base/text.h"
#include "picture/time/fade_way.h"
#include "picture/time/panels.h"

#include <metamer/linked_picture.h>

/** All of it. Of the first three first the straight fades of all units, then their ways. */
struct mtmi_linked_lines {
    size_t units, moments, ends;
    double *time_s,
        *end_s; /**< since the cue began; end_s: of each cue of the chain but the last */
    mtmi_panel_line output[2 * MTM_LINKED_PICTURE_UNITS], cct[2 * MTM_LINKED_PICTURE_UNITS],
        duv[2 * MTM_LINKED_PICTURE_UNITS], error[MTM_LINKED_PICTURE_UNITS];
    mtmi_way way[MTM_LINKED_PICTURE_UNITS];
    mtmi_text name[MTM_LINKED_PICTURE_UNITS];
    bool has_whites;
    mtmi_pool pool;
};

/** Takes them from a view that was checked. mtmi_linked_lines_free it, also after a failure.
 *  MTM_OK, MTM_MEMORY. */
MTM_CHECKED mtm_result mtmi_linked_lines_create(const mtm_linked_view *view,
                                                struct mtmi_linked_lines *lines, mtm_error *error);
void mtmi_linked_lines_free(struct mtmi_linked_lines *lines);

#endif
