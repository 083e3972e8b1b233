/* SPDX-License-Identifier: MIT */
/* Fidelity: what the reference of CIE 224 keeps; the index itself is in quality_kernel.h. */
#ifndef METAMER_QUALITY_FIDELITY_H
#define METAMER_QUALITY_FIDELITY_H

#include "quality/kernel.h"

/** Who looks at the samples under a light, the light itself the adopted white, whose X, Y, Z times
 *  *scale are those of the viewing. Only the white of ces is looked at. */
MTM_CHECKED mtm_result mtmi_fidelity_viewer(const mtmi_ces *ces, mtm_viewer *viewer, double *scale,
                                            mtm_error *error);
/** Places of all samples as that viewer sees them. */
MTM_CHECKED mtm_result mtmi_fidelity_coordinates(const mtmi_quality_kernel *kernel,
                                                 const mtmi_ces *ces, mtmi_ces *jab,
                                                 mtm_error *error);

/** Hue bins, means and area of a reference whose jab is set. */
void mtmi_fidelity_reference(mtmi_quality_reference *reference);

/** The index of a mean difference in J', a', b'. */
double mtmi_fidelity_of(double difference);

#endif
