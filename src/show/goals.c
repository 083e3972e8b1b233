/* SPDX-License-Identifier: MIT */
/* Show goals: which units cannot do what a cue asks, by its goal or at all. */
#include <metamer/show_goals.h>

#include "base/error.h"

#include <stdlib.h>
#include <string.h>

struct search {
    const mtm_show *show;
    mtm_matcher *matcher;
    mtm_look *before, *look;
    size_t units;
    mtm_goal_lapse_tell tell;
    void *context;
};

static bool is_out(const mtm_look *look)
{
    return look->target == NULL ||
           (look->output.type != MTM_OUTPUT_MAX && !(look->output.value > 0));
}

/* Whether a unit stays dark in a look that has light; told of once for a colour. */
static mtm_result check_dark(struct search *search, size_t cue, size_t unit, bool *dark,
                             mtm_error *error)
{
    const mtm_look *look = &search->look[unit], *before = &search->before[unit];
    mtm_match_request request = {.output = look->output, .leave_dark_uv = look->leave_dark_uv};
    mtm_match match;

    *dark = false;
    if (is_out(look) || !(look->leave_dark_uv > 0))
        return MTM_OK;
    request.target = *look->target;
    mtm_result result = mtm_matcher_unit(search->matcher, unit, &request, &match, error);
    if (result != MTM_OK)
        return result;
    *dark = match.left_dark_uv > 0;
    if (*dark && (is_out(before) || look->target != before->target ||
                  look->leave_dark_uv != before->leave_dark_uv))
        search->tell(search->context, &(mtm_goal_lapse){.cue = cue,
                                                        .unit = unit,
                                                        .goal = look->goal,
                                                        .left_dark_uv = match.left_dark_uv});
    return MTM_OK;
}

static mtm_result check_goal(struct search *search, size_t cue, size_t unit, mtm_error *error)
{
    const mtm_look *look = &search->look[unit], *before = &search->before[unit];
    mtm_goal_lapse lapse = {.cue = cue, .unit = unit, .goal = look->goal};
    mtm_match_request request = {.goal = look->goal};
    mtm_goal goal = MTM_GOAL_LIGHT;

    if (look->target == NULL || look->goal == MTM_GOAL_LIGHT ||
        (look->target == before->target && look->goal == before->goal))
        return MTM_OK;
    request.target = *look->target;
    mtm_result result = mtm_matcher_goal(search->matcher, unit, &request, &goal, &lapse.why, error);
    if (result == MTM_OK && lapse.why != MTM_FALLBACK_NONE)
        search->tell(search->context, &lapse);
    return result;
}

static mtm_result check_unit(struct search *search, size_t cue, size_t unit, mtm_error *error)
{
    bool dark = false;
    mtm_result result = check_dark(search, cue, unit, &dark, error);

    return result != MTM_OK || dark ? result : check_goal(search, cue, unit, error);
}

static mtm_result check_cues(struct search *search, mtm_error *error)
{
    mtm_result result = MTM_OK;

    for (size_t cue = 0; cue < mtm_show_cue_count(search->show); cue++) {
        memcpy(search->before, search->look, search->units * sizeof *search->look);
        mtm_show_apply(search->show, cue, search->look, NULL);
        for (size_t unit = 0; unit < search->units && result == MTM_OK; unit++)
            result = check_unit(search, cue, unit, error);
    }
    return result;
}

mtm_result mtm_show_goal_lapses(const mtm_show *show, mtm_goal_lapse_tell tell, void *context,
                                mtm_error *error)
{
    if (show == NULL || tell == NULL)
        return mtmi_fail(error, MTM_INVALID, "a show and someone to tell are needed");

    size_t units = mtm_rig_unit_count(mtm_show_rig(show));
    struct search search = {.show = show, .units = units, .tell = tell, .context = context};
    search.before = calloc(units + 1, sizeof *search.before);
    search.look = calloc(units + 1, sizeof *search.look);
    mtm_result result = MTM_OK;
    if (search.before == NULL || search.look == NULL)
        result = mtmi_fail_memory(error);
    if (result == MTM_OK)
        result =
            mtm_matcher_create(mtm_show_rig(show), mtm_show_observer(show), &search.matcher, error);
    if (result == MTM_OK)
        result = check_cues(&search, error);
    mtm_matcher_free(search.matcher);
    free(search.look);
    free(search.before);
    return result;
}
