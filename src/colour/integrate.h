/* SPDX-License-Identifier: MIT */
/* Integration: weighted sums of a spectrum with three functions at once. */
#ifndef METAMER_COLOUR_INTEGRATE_H
#define METAMER_COLOUR_INTEGRATE_H

#include <metamer/spectrum.h>

/** The observer's three functions on the grid; static storage. */
const double (*mtmi_observer_table(mtm_observer observer))[MTM_SPECTRUM_COUNT];

/** Sums of value times each column, and nothing more: no constant, no step. */
typedef mtm_xyz (*mtmi_integrate)(const double value[MTM_SPECTRUM_COUNT],
                                  const double (*column)[MTM_SPECTRUM_COUNT]);

/** Portable C. */
mtm_xyz mtmi_integrate_portable(const double value[MTM_SPECTRUM_COUNT],
                                const double (*column)[MTM_SPECTRUM_COUNT]);

/** The fastest that this processor runs; equal to the portable one to 1e-12 of the sum of
 *  magnitudes (only the order and rounding of the additions differ). */
mtmi_integrate mtmi_integrate_best(void);

#endif
