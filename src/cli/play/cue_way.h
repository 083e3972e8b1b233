/* SPDX-License-Identifier: MIT */
/* Cue way: what ports, supplies and circuits carry at the fullest moment of a cue. */
#ifndef METAMER_CLI_PLAY_CUE_WAY_H
#define METAMER_CLI_PLAY_CUE_WAY_H

#include <metamer/fade.h>
#include <metamer/load.h>
#include <metamer/match.h>
#include <metamer/show.h>

/** What judges the cues of a show, one after the other. Borrows the show and the options. */
struct cue_way {
    const mtm_rig *rig;
    const mtm_load_options *options;
    mtm_matcher *matcher;
    mtm_fader *fader; /* at a few frames a second */
    double *watts;    /* one for each unit of the rig */
};

/** All units dark. Freed by cue_way_free, also after a failure. */
MTM_CHECKED mtm_result cue_way_create(const mtm_show *show, const mtm_load_options *options,
                                      struct cue_way *way, mtm_error *error);
void cue_way_free(struct cue_way *way);

/** Runs a cue from where the units are now; jump: as mtm_fader_go_to does. *load (the caller frees
 * it) has the fullest that each row gets, *total_w the most of all units together. A way longer
 * than half an hour is followed that long, then its end is judged. */
MTM_CHECKED mtm_result cue_way_run(struct cue_way *way, size_t cue, bool jump, mtm_load **load,
                                   double *total_w, mtm_error *error);

#endif
