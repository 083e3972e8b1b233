/* SPDX-License-Identifier: MIT */
/* Mix: of all levels that make a light, those nearest to a given mix. */
#ifndef METAMER_FADE_MIX_H
#define METAMER_FADE_MIX_H

#include "unit/emitters.h"

/** A unit's emitters as the rows of the problem. A plain value. */
typedef struct mtmi_mix_basis {
    size_t count;
    double xyz[3][MTM_EMITTERS_MAX]; /* at full level, as parts of full_y */
    double watts[MTM_EMITTERS_MAX];  /* as parts of the power limit; 0 without one */
    double most[MTM_EMITTERS_MAX];   /* levels that the limits allow */
    double full_y;                   /* Y of all emitters at full, without regard to power */
    bool limited;                    /* there is a power limit */
} mtmi_mix_basis;

/** False if all emitters are dark. */
bool mtmi_mix_basis_from(const struct mtmi_emitters *from, mtmi_mix_basis *emitters);

/** Light of levels, Y in the emitters' own unit. */
mtm_xyz mtmi_mix_xyz(const mtmi_mix_basis *emitters, const double *level);

/**
 * The levels nearest to base (by the sum of squares) among those from 0 to 1, within the power
 * limit, whose light is wanted. They move continuously with base and wanted: the nearest point of a
 * convex set that is cut by planes moves by no more than a multiple of what the planes do.
 *
 * @return false where no levels give that light; level then holds something near
 */
bool mtmi_mix_nearest(const mtmi_mix_basis *emitters, const double *base, mtm_xyz wanted,
                      double *level);

#endif
