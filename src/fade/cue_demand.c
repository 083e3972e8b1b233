/* SPDX-License-Identifier: MIT */
/* Cue demand: a cue frame by frame, its demand summed at each. */
#include <metamer/cue_demand.h>

#include <metamer/fade.h>
#include <metamer/match.h>

#include "base/error.h"

#include <math.h>
#include <stdlib.h>

/* Frames a second at which the transition of a cue is followed, and the most of one cue: half an
 * hour. */
enum { WAY_HZ = 10, FRAMES_MAX = 18000 };

struct mtm_cue_demand {
    const mtm_rig *rig;
    size_t cue_count;
    mtm_demand_options options;
    mtm_matcher *matcher; /* for its coders */
    mtm_fader *fader;     /* at a few frames a second */
    double *watts;        /* one for each unit of the rig */
};

mtm_result mtm_cue_demand_create(const mtm_show *show, const bool *meant,
                                 const mtm_demand_options *options, mtm_cue_demand **out,
                                 mtm_error *error)
{
    mtm_fader_options fader = {.refresh_hz = WAY_HZ, .meant = meant};

    if (show == NULL || out == NULL)
        return mtmi_fail(error, MTM_INVALID, "a show and a place for its loads are needed");
    mtm_cue_demand *made = calloc(1, sizeof *made);
    if (made == NULL)
        return mtmi_fail_memory(error);
    made->rig = mtm_show_rig(show);
    made->cue_count = mtm_show_cue_count(show);
    if (options != NULL)
        made->options = *options;
    made->watts = calloc(mtm_rig_unit_count(made->rig) + 1, sizeof *made->watts);
    mtm_demand *dark = NULL;
    mtm_result result = made->watts == NULL ? mtmi_fail_memory(error) : MTM_OK;
    if (result == MTM_OK) /* refuses options that are out of range */
        result = mtm_demand_create(made->rig, made->watts, &made->options, &dark, error);
    mtm_demand_free(dark);
    if (result == MTM_OK)
        result = mtm_matcher_create(made->rig, mtm_show_observer(show), &made->matcher, error);
    if (result == MTM_OK)
        result = mtm_fader_create(show, &fader, &made->fader, error);
    if (result == MTM_OK)
        *out = made;
    else
        mtm_cue_demand_free(made);
    return result;
}

void mtm_cue_demand_free(mtm_cue_demand *demands)
{
    if (demands == NULL)
        return;
    mtm_fader_free(demands->fader);
    mtm_matcher_free(demands->matcher);
    free(demands->watts);
    free(demands);
}

/* Watts of every unit's emitters where the fader is; a unit that follows does what its leader's
 * codes say. */
static void read_watts(mtm_cue_demand *demands)
{
    for (size_t i = 0; i < mtm_rig_unit_count(demands->rig); i++) {
        double level[MTM_EMITTERS_MAX];
        mtm_fader_state state;
        int leader = mtm_rig_unit(demands->rig, i)->follows;
        mtm_fader_unit(demands->fader, leader >= 0 ? (size_t)leader : i, &state);
        mtm_coder_levels(mtm_matcher_coder(demands->matcher, i), &state.codes, level);
        demands->watts[i] = mtm_demand_level_w(mtm_rig_unit(demands->rig, i), level);
    }
}

static mtm_result add_frame(mtm_cue_demand *demands, mtm_demand **fullest, double *most_w,
                            mtm_error *error)
{
    mtm_demand *demand = NULL;

    read_watts(demands);
    mtm_result result =
        mtm_demand_create(demands->rig, demands->watts, &demands->options, &demand, error);
    if (result != MTM_OK)
        return result;
    *most_w = fmax(*most_w, mtm_demand_whole(demand).watts);
    if (*fullest == NULL) {
        *fullest = demand;
        return MTM_OK;
    }
    mtm_demand_take_fuller(*fullest, demand);
    mtm_demand_free(demand);
    return MTM_OK;
}

mtm_result mtm_cue_demand_set(mtm_cue_demand *demands, size_t cue, mtm_error *error)
{
    if (demands == NULL)
        return mtmi_fail(error, MTM_INVALID, "loads of cues are needed");
    return mtm_fader_set(demands->fader, cue, error);
}

mtm_result mtm_cue_demand_run(mtm_cue_demand *demands, size_t cue, bool jump, mtm_demand **demand,
                              double *total_w, mtm_error *error)
{
    mtm_demand *fullest = NULL;
    double most_w = 0;

    if (demands == NULL || demand == NULL || total_w == NULL)
        return mtmi_fail(error, MTM_INVALID, "loads of cues and places for the answer are needed");
    if (cue >= demands->cue_count)
        return mtmi_fail(error, MTM_INVALID, "cue %zu of %zu", cue, demands->cue_count);
    mtm_result result = jump ? mtm_fader_go_to(demands->fader, cue, error)
                             : mtm_fader_go(demands->fader, cue, error);
    for (int frame = 0; result == MTM_OK && mtm_fader_frames_left(demands->fader) > 0; frame++) {
        if (frame == FRAMES_MAX)
            result = mtm_fader_set(demands->fader, cue, error);
        else
            result = mtm_fader_step(demands->fader, error);
        if (result == MTM_OK)
            result = add_frame(demands, &fullest, &most_w, error);
    }
    if (result == MTM_OK && fullest == NULL)
        result = add_frame(demands, &fullest, &most_w, error);
    if (result != MTM_OK) {
        mtm_demand_free(fullest);
        return result;
    }
    *demand = fullest;
    *total_w = most_w;
    return MTM_OK;
}
