/* SPDX-License-Identifier: MIT */
/* The colour of a unit at stated values: --like UNIT=VALUES. */
#ifndef METAMER_CLI_ARGS_LIKE_H
#define METAMER_CLI_ARGS_LIKE_H

#include "cli/command.h"

#include <metamer/codes.h>
#include <metamer/rig.h>

/** The unit and its codes of "UNIT=200,120", "UNIT=50%,30%" or "UNIT=slots:200,0,120,7". */
MTM_CHECKED mtm_result like_read(const char *text, const mtm_rig *rig, size_t *unit,
                                 mtm_codes *codes, mtm_error *error);

#endif
