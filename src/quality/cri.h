/* SPDX-License-Identifier: MIT */
/* CRI: what the reference of CIE 13.3 keeps; the index itself is in quality_kernel.h. */
#ifndef METAMER_QUALITY_CRI_H
#define METAMER_QUALITY_CRI_H

#include "quality/kernel.h"

/** Places of the samples under the reference, and its own chromaticity in CIE 1960 u, v. */
mtm_uv mtmi_cri_reference(const mtmi_tcs *tcs, mtmi_uvw sample[MTM_TCS_COUNT]);

/** How far each sample's place in U*, V*, W* is from that under the reference. */
void mtmi_cri_shifts(const mtmi_quality_light *light, const mtmi_quality_reference *reference,
                     mtmi_uvw shift[MTM_TCS_COUNT]);

#endif
