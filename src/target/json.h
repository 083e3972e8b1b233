/* SPDX-License-Identifier: MIT */
/* A colour as a JSON object: { "cct_k": 3200 } and every other form. */
#ifndef METAMER_TARGET_JSON_H
#define METAMER_TARGET_JSON_H

#include "base/json.h"
#include "target/stated.h"

/** The colour that an object states. Fails like every reader of files: "file: path: sentence". */
MTM_CHECKED mtm_result mtmi_target_from_json(const mtmi_node *node, struct mtmi_target_place *place,
                                             mtm_target *target, mtm_error *error);

#endif
