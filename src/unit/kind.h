/* SPDX-License-Identifier: MIT */
/* Kinds: units brought together by what they are.
 *
 * A kind is the units of one fixture in one mode, and nothing else: what is made for one of them
 * (solver, codes, look-up tables, a mix) serves them all. A rig of measured units can have as many
 * kinds as units, so they are found by sorting; they are numbered in the order in which their first
 * unit stands, whatever the addresses of their fixtures. */
#ifndef METAMER_UNIT_KIND_H
#define METAMER_UNIT_KIND_H

#include "base/pool.h"

#include <metamer/rig.h>

/** The kind of a unit that was not asked for. */
#define MTMI_NO_KIND ((size_t)-1)

struct mtmi_kinds {
    size_t count;
    size_t *of_unit; /* by unit of the rig: its kind, or MTMI_NO_KIND */
    size_t *first;   /* by kind: the first unit of it in the list */
    mtmi_pool pool;  /* of both */
};

/** Kinds of count units of a rig, given by index, any of them more than once; of all, in the rig's
 *  order, where unit is NULL (count is then that of the rig). */
MTM_CHECKED mtm_result mtmi_kinds_create(const mtm_rig *rig, const size_t *unit, size_t count,
                                         struct mtmi_kinds *kinds, mtm_error *error);
void mtmi_kinds_free(struct mtmi_kinds *kinds);

#endif
