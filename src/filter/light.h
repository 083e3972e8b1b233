/* SPDX-License-Identifier: MIT */
/* Lights named in files: the same as mtm_light_from_text, with a folder to begin in. */
#ifndef METAMER_FILTER_LIGHT_H
#define METAMER_FILTER_LIGHT_H

#include <metamer/filter.h>
#include <metamer/lamp.h>

/** "3200@30%": a lamp and the share of its light; false for anything else. */
bool mtmi_lamp_read(const char *text, mtm_lamp *lamp);

/** mtm_light_from_text; a spectrum file is looked for in base_dir (may be NULL), then among the
 *  profiles. */
MTM_CHECKED mtm_result mtmi_light_from_text(const char *text, const char *base_dir,
                                            mtm_light *light, mtm_error *error);

#endif
