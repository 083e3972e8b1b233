/* SPDX-License-Identifier: MIT */
/* Cue way: a cue frame by frame, its loads judged at each. */
#include "cli/play/cue_way.h"

#include "base/error.h"

#include <math.h>
#include <stdlib.h>

/* Frames a second at which the way of a cue is judged, and the most of one cue: half an hour. */
enum { WAY_HZ = 10, FRAMES_MOST = 18000 };

mtm_result cue_way_create(const mtm_show *show, const mtm_load_options *options,
                          struct cue_way *way, mtm_error *error)
{
    mtm_fader_options fader = {.refresh_hz = WAY_HZ};

    *way = (struct cue_way){.rig = mtm_show_rig(show), .options = options};
    way->watts = calloc(mtm_rig_unit_count(way->rig) + 1, sizeof *way->watts);
    if (way->watts == NULL)
        return mtmi_fail_memory(error);
    mtm_result result = mtm_matcher_create(way->rig, mtm_show_observer(show), &way->matcher, error);
    return result == MTM_OK ? mtm_fader_create(show, &fader, &way->fader, error) : result;
}

void cue_way_free(struct cue_way *way)
{
    mtm_fader_free(way->fader);
    mtm_matcher_free(way->matcher);
    free(way->watts);
    *way = (struct cue_way){0};
}

/* Watts of every unit where the fader is; a unit that follows does what its leader's codes say. */
static double read_watts(struct cue_way *way)
{
    double total_w = 0;

    for (size_t i = 0; i < mtm_rig_unit_count(way->rig); i++) {
        double level[MTM_EMITTERS_MAX];
        mtm_fader_state state;
        int leader = mtm_rig_unit(way->rig, i)->follows;
        mtm_fader_unit(way->fader, leader >= 0 ? (size_t)leader : i, &state);
        mtm_coder_levels(mtm_matcher_coder(way->matcher, i), &state.codes, level);
        way->watts[i] = mtm_load_level_w(mtm_rig_unit(way->rig, i), level);
        total_w += way->watts[i];
    }
    return total_w;
}

static mtm_result judge_frame(struct cue_way *way, mtm_load **fullest, double *most_w,
                              mtm_error *error)
{
    mtm_load *load = NULL;
    double total_w = read_watts(way);

    mtm_result result = mtm_load_create(way->rig, way->watts, way->options, &load, error);
    if (result != MTM_OK)
        return result;
    *most_w = fmax(*most_w, total_w);
    if (*fullest == NULL) {
        *fullest = load;
        return MTM_OK;
    }
    mtm_load_keep_fuller(*fullest, load);
    mtm_load_free(load);
    return MTM_OK;
}

mtm_result cue_way_run(struct cue_way *way, size_t cue, bool jump, mtm_load **load, double *total_w,
                       mtm_error *error)
{
    mtm_load *fullest = NULL;
    double most_w = 0;
    mtm_result result =
        jump ? mtm_fader_go_to(way->fader, cue, error) : mtm_fader_go(way->fader, cue, error);

    for (int frame = 0; result == MTM_OK && mtm_fader_frames_left(way->fader) > 0; frame++) {
        if (frame == FRAMES_MOST)
            result = mtm_fader_set(way->fader, cue, error);
        else
            result = mtm_fader_step(way->fader, error);
        if (result == MTM_OK)
            result = judge_frame(way, &fullest, &most_w, error);
    }
    if (result == MTM_OK && fullest == NULL)
        result = judge_frame(way, &fullest, &most_w, error);
    if (result != MTM_OK) {
        mtm_load_free(fullest);
        return result;
    }
    *load = fullest;
    *total_w = most_w;
    return MTM_OK;
}
