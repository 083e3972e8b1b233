/* SPDX-License-Identifier: MIT */
/* SVG: what cairo wrote, with words for those who cannot see it, and the same in every run. */
#ifndef METAMER_CANVAS_SVG_H
#define METAMER_CANVAS_SVG_H

#include "base/text.h"

#include <metamer/base.h>

/** Copies svg to out (which was empty) with <title> and <desc> (NULL: none) inside, and images
 *  numbered from 0: cairo numbers them through the life of the program. MTM_OK, MTM_MEMORY. */
MTM_CHECKED mtm_result mtmi_svg_tidy(const mtmi_text *svg, const char *title, const char *about,
                                     mtmi_text *out, mtm_error *error);

#endif
