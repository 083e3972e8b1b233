/* SPDX-License-Identifier: MIT */
/* Emitters: what the emitters of a fixture give at full level, as numbers for one observer.
 *
 * Here, and nowhere else, a fixture becomes numbers. Light adds linearly in XYZ, so everything that
 * is asked of levels is a sum of level times what stands here. Solvers, coders, spectral goals and
 * fades begin with it and scale it to units of their own. */
#ifndef METAMER_UNIT_EMITTERS_H
#define METAMER_UNIT_EMITTERS_H

#include <metamer/colour.h>
#include <metamer/fixture.h>
#include <metamer/spectrum.h>

#include <stdbool.h>

/** A plain value; the spectra are the fixture's. */
struct mtmi_emitters {
    size_t count;
    mtm_xyz xyz[MTM_EMITTERS_MAX];  /* Y in lumens for the 2 degree observer */
    double watts[MTM_EMITTERS_MAX]; /* electrical */
    double power_limit_w; /* INFINITY without one; what the limits' headroom leaves of it */
    double most[MTM_EMITTERS_MAX];                  /* levels that the limits allow, 0..1 */
    const mtm_spectrum *spectrum[MTM_EMITTERS_MAX]; /* borrowed; NULL if only x, y are known */
    const mtm_mixing *lamp;                         /* NULL, or the lamp whose corners these are */
};

/** MTM_INVALID for an observer that does not exist; MTM_UNSUPPORTED where the 10 degree observer
 *  meets an emitter that has no spectrum. */
MTM_CHECKED mtm_result mtmi_emitters_from(const mtm_fixture *fixture, mtm_observer observer,
                                          struct mtmi_emitters *emitters, mtm_error *error);

/** The light of levels. */
mtm_xyz mtmi_emitters_xyz(const struct mtmi_emitters *emitters, const double *level);

/** The spectrum of levels, of a lamp that of a Planckian radiator; false, and nothing is set, where
 * an emitter has none. */
bool mtmi_emitters_spectrum(const struct mtmi_emitters *emitters, const double *level,
                            mtm_spectrum *spectrum);

#endif
