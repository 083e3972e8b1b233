/* SPDX-License-Identifier: MIT */
/* Integration: weighted sums of a spectrum with the observer's three functions at once. */
#ifndef METAMER_COLOUR_INTEGRATE_H
#define METAMER_COLOUR_INTEGRATE_H

#include <metamer/colour.h>
#include <metamer/spectrum.h>

#include "data/tables.h"

/** The observer's three functions on the grid; static storage. */
const double (*mtmi_observer_table(mtm_observer observer))[MTM_SPECTRUM_COUNT];

/** Sums of value times each function of mtmi_weights[observer], and nothing more: no constant, no
 *  step. */
typedef mtm_xyz (*mtmi_integrate)(const double value[MTM_SPECTRUM_COUNT],
                                  const double (*weights)[MTMI_WEIGHTS_COUNT]);

/** A kernel. */
typedef struct mtmi_integrate_kernel {
    const char *name;
    mtmi_integrate integrate;
    bool (*runs)(void); /**< true if this processor can */
} mtmi_integrate_kernel;

/** Every kernel of this build, the fastest first; the last one, "portable", runs anywhere. All give
 * the same sums to the last bit. */
extern const mtmi_integrate_kernel mtmi_integrate_kernels[];
extern const size_t mtmi_integrate_kernel_count;

/** The first that runs here. */
mtmi_integrate mtmi_integrate_best(void);

#endif
