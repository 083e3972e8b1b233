/* SPDX-License-Identifier: MIT */
/* Linked cues inside: the moments a chain may stand at, and whether two of them may be joined. */
#ifndef METAMER_CUE_TEXT_LINKED_H
#define METAMER_CUE_TEXT_LINKED_H

#include "fade/fader.h"

#include <metamer/lab.h>
#include <metamer/linked.h>

/** A fade with its moments 0..moments-1 in time; samples lie at each and half way between. */
typedef struct mtmi_links {
    size_t units; /* those that move */
    const mtmi_transition **transition;
    size_t moments, samples; /* samples = 2 moments - 1 */
    double step_s, length_s;
    double rate_hz;
    uint32_t *code; /* by unit, moment, channel */
    mtm_lab *lab;   /* of the transition, by unit and sample */
    double tolerance;
    size_t suspect; /* the unit that failed last: looked at first */
    mtmi_pool pool;
} mtmi_links;

/** Samples the transitions; mtmi_links_free it also after a failure. */
MTM_CHECKED mtm_result mtmi_links_create(const mtm_fader *fader, double tolerance,
                                         mtmi_links *links, mtm_error *error);
void mtmi_links_free(mtmi_links *links);

/** Time of a moment in seconds since the delay. */
double mtmi_links_time(const mtmi_links *links, size_t moment);

/** Time of a sample; those of odd number lie half way between two moments. */
double mtmi_links_sample_time(const mtmi_links *links, size_t sample);
/** Frame of a unit's transition at a sample. */
double mtmi_links_frame(const mtmi_links *links, size_t unit, size_t sample);

/** The light of a unit at a sample when it fades straight from moment a to moment b. */
mtm_xyz mtmi_links_straight(const mtmi_links *links, size_t unit, size_t a, size_t b,
                            size_t sample);
/** The error of a unit at a sample when it fades straight from moment a to moment b. */
double mtmi_links_error(const mtmi_links *links, size_t unit, size_t a, size_t b, size_t sample);

/** Whether all units stay within the tolerance between two moments, and at the second. */
bool mtmi_links_join(mtmi_links *links, size_t a, size_t b);

#endif
