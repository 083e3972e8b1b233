/* SPDX-License-Identifier: MIT */
/* Fade lines: the values of a course, as lines over time and as ways through the diagram. */
#ifndef METAMER_PICTURE_TIME_FADE_LINES_H
#define METAMER_PICTURE_TIME_FADE_LINES_H

#include "base/pool.h"
#include "base/text.h"
#include "picture/time/fade_way.h"
#include "picture/time/panels.h"

#include <metamer/fade_picture.h>

/** All of it, by unit of the course; levels and codes of the first. */
struct mtmi_fade_lines {
    size_t units, moments;
    double *time_s;
    mtmi_panel_line output[MTM_FADE_PICTURE_UNITS], cct[MTM_FADE_PICTURE_UNITS],
        duv[MTM_FADE_PICTURE_UNITS], step[MTM_FADE_PICTURE_UNITS];
    mtmi_way way[MTM_FADE_PICTURE_UNITS];
    mtmi_panel_line level[MTM_EMITTERS_MAX], code[MTM_EMITTERS_MAX + 1];
    size_t levels, codes;
    mtmi_text name[MTM_FADE_PICTURE_UNITS], levels_heading, codes_heading;
    bool has_whites; /**< colour temperatures are defined for the show's observer */
    mtmi_pool pool;
};

/** Takes them from a view that was checked. mtmi_fade_lines_free it, also after a failure. MTM_OK,
 *  MTM_MEMORY. */
MTM_CHECKED mtm_result mtmi_fade_lines_create(const mtm_fade_view *view,
                                              struct mtmi_fade_lines *lines, mtm_error *error);
void mtmi_fade_lines_free(struct mtmi_fade_lines *lines);

#endif
