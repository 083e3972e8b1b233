/* SPDX-License-Identifier: MIT */
/* Assessing a trim: how far a unit is from the target, how sure that is, and what it proves. */
#ifndef METAMER_TRIM_ASSESS_H
#define METAMER_TRIM_ASSESS_H

#include <metamer/trim.h>

/** What units are assessed by. Borrows all. */
typedef struct mtmi_trim_criteria {
    const mtm_calibration *calibration;
    const mtm_rig *rig;
    const mtm_meter *meter; /* NULL: nothing is stated */
    mtm_uv target;
    double tolerance_uv;
} mtmi_trim_criteria;

/** What codes give by the model. A prediction that proves nothing is to be measured, where the
 * meter is good enough for the tolerance. */
void mtmi_assess_codes(const mtmi_trim_criteria *criteria, size_t unit, const mtm_codes *codes,
                       mtm_trim_state *state);
/** What was read (lumens, dark taken off). */
void mtmi_assess_reading(const mtmi_trim_criteria *criteria, size_t unit, mtm_xyz xyz,
                         mtm_trim_state *state);
/** The smallest tolerance that one reading of this unit on the target can prove; 0: not stated. */
double mtmi_assess_provable(const mtmi_trim_criteria *criteria, const mtm_trim_unit *one);

#endif
