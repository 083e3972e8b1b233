/* SPDX-License-Identifier: MIT */
/* Ladders of a rig: codes by level, each made once for the channels that share a curve. */
#ifndef METAMER_FADE_LADDER_H
#define METAMER_FADE_LADDER_H

#include "fade/fade.h"

/** A ladder and what it was made for. */
typedef struct mtmi_shared_ladder {
    const char *curve; /* static name of its kind */
    double exponent;
    int most;
    mtmi_rung *rung;
    double *light; /* level by code; NULL but for 8 bits */
} mtmi_shared_ladder;

typedef struct mtmi_ladders {
    mtmi_shared_ladder *ladder;
    size_t count, room;
} mtmi_ladders;

/** Gives a kind its ladders. */
MTM_CHECKED mtm_result mtmi_ladders_share(mtmi_ladders *ladders, mtmi_kind *kind, mtm_error *error);
void mtmi_ladders_free(mtmi_ladders *ladders);

#endif
