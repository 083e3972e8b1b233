/* SPDX-License-Identifier: MIT */
/* The colour of a unit at stated values. */
#ifndef METAMER_TARGET_LIKE_H
#define METAMER_TARGET_LIKE_H

#include "target/stated.h"

/** Unit and values of "UNIT=200,120", "UNIT=50%,30%" or "UNIT=slots:200,0,120,7". */
MTM_CHECKED mtm_result mtmi_like_split(const char *text, struct mtmi_stated *stated,
                                       mtm_error *error);

/** What that unit shows. */
MTM_CHECKED mtm_result mtmi_like_make(struct mtmi_stated *stated, mtm_target *target,
                                      mtm_error *error);

#endif
