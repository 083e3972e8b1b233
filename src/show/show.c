/* SPDX-License-Identifier: MIT */
/* Show: what a show holds, and how a cue changes what units look like. */
#include "show/show.h"

#include "base/error.h"

#include <math.h>
#include <stdlib.h>

void mtm_show_free(mtm_show *show)
{
    if (show == NULL)
        return;
    for (size_t i = 0; i < show->cue_count; i++)
        free(show->cues[i].settings);
    free(show->cues);
    for (size_t i = 0; i < show->group_count; i++)
        free(show->groups[i].unit);
    free(show->groups);
    free(show->group_names);
    for (size_t i = 0; i < show->colour_count; i++)
        free(show->colours[i]);
    free(show->colours);
    for (size_t i = 0; i < show->palette_count; i++)
        mtm_palette_free(show->palettes[i]);
    free((void *)show->palettes);
    mtm_filters_free(show->filters);
    mtm_rig_free(show->own_rig);
    cJSON_Delete(show->tree);
    free(show);
}

const char *mtm_show_name(const mtm_show *show)
{
    return show != NULL ? show->name : NULL;
}

const mtm_rig *mtm_show_rig(const mtm_show *show)
{
    return show != NULL ? show->rig : NULL;
}

mtm_observer mtm_show_observer(const mtm_show *show)
{
    return show != NULL ? show->observer : MTM_OBSERVER_2;
}

double mtm_show_refresh_hz(const mtm_show *show)
{
    return show != NULL ? show->refresh_hz : NAN;
}

size_t mtm_show_colour_count(const mtm_show *show)
{
    return show != NULL ? show->named_colour_count : 0;
}

const char *mtm_show_colour_name(const mtm_show *show, size_t index)
{
    return show != NULL && index < show->named_colour_count ? show->colours[index]->name : NULL;
}

const mtm_target *mtm_show_colour(const mtm_show *show, size_t index)
{
    return show != NULL && index < show->named_colour_count ? &show->colours[index]->target : NULL;
}

size_t mtm_show_group_count(const mtm_show *show)
{
    return show != NULL ? show->named_group_count : 0;
}

const char *mtm_show_group_name(const mtm_show *show, size_t index)
{
    return show != NULL && index < show->named_group_count ? show->groups[index].name : NULL;
}

const size_t *mtm_show_group(const mtm_show *show, size_t index, size_t *unit_count)
{
    if (show == NULL || unit_count == NULL || index >= show->named_group_count)
        return NULL;
    *unit_count = show->groups[index].unit_count;
    return show->groups[index].unit;
}

size_t mtm_show_cue_count(const mtm_show *show)
{
    return show != NULL ? show->cue_count : 0;
}

const mtm_cue *mtm_show_cue(const mtm_show *show, size_t index)
{
    return show != NULL && index < show->cue_count ? &show->cues[index].cue : NULL;
}

/* Cue numbers are tenths: 2.1 as read and 2.1 as computed must meet. */
static long tenths(double number)
{
    return lround(number * 10);
}

mtm_result mtm_show_find_cue(const mtm_show *show, double number, size_t *index, mtm_error *error)
{
    size_t at = 0;

    if (show == NULL || index == NULL || !(number >= 0 && number <= 1e6))
        return mtmi_fail(error, MTM_INVALID, "a cue is found by a number from 0.1 to 9999.9");
    if (show->cue_count == 0)
        return mtmi_fail(error, MTM_NOT_FOUND, "there is no cue %g; the show has none", number);
    while (at < show->cue_count && tenths(show->cues[at].cue.number) < tenths(number))
        at++;
    if (at < show->cue_count && tenths(show->cues[at].cue.number) == tenths(number)) {
        *index = at;
        return MTM_OK;
    }
    if (at == 0)
        return mtmi_fail(error, MTM_NOT_FOUND, "there is no cue %g; the first is %g", number,
                         show->cues[0].cue.number);
    if (at == show->cue_count)
        return mtmi_fail(error, MTM_NOT_FOUND, "there is no cue %g; the last is %g", number,
                         show->cues[at - 1].cue.number);
    return mtmi_fail(error, MTM_NOT_FOUND, "there is no cue %g; the next to it are %g and %g",
                     number, show->cues[at - 1].cue.number, show->cues[at].cue.number);
}

static void apply_setting(const mtm_setting *setting, mtm_look *look)
{
    look->path = setting->path;
    look->shape = setting->shape;
    if (setting->has_goal)
        look->goal = setting->goal;
    if (setting->has_leave_dark)
        look->leave_dark_uv = setting->leave_dark_uv;
    if (setting->has_dimming)
        look->dimming = setting->dimming;
    if (setting->target != NULL)
        look->target = setting->target;
    if (setting->has_output)
        look->output = setting->output;
    else if (setting->target != NULL)
        look->output = (mtm_output){MTM_OUTPUT_MAX, 0};
}

void mtm_show_apply(const mtm_show *show, size_t cue, mtm_look *look, bool *moved)
{
    if (show == NULL || look == NULL || cue >= show->cue_count)
        return;
    const mtmi_cue *applied = &show->cues[cue];
    size_t unit_count = mtm_rig_unit_count(show->rig);

    for (size_t i = 0; moved != NULL && i < unit_count; i++)
        moved[i] = false;
    for (size_t i = 0; i < applied->setting_count; i++) {
        const mtmi_group *group = &show->groups[applied->settings[i].group];

        for (size_t k = 0; k < group->unit_count; k++) {
            apply_setting(&applied->settings[i], &look[group->unit[k]]);
            if (moved != NULL)
                moved[group->unit[k]] = true;
        }
    }
}
