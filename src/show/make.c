/* SPDX-License-Identifier: MIT */
/* Making shows: colours, groups and cues added one after the other, by the rules of reading. */
#include "show/show.h"

#include "base/error.h"
#include "base/grow.h"
#include "colour/check.h"
#include "solve/answer.h"

#include <metamer/frames.h>

#include <stdlib.h>
#include <string.h>

/* A text that lives as long as the show; NULL: memory. A made show's tree is a list of them. */
static const char *own_text(mtm_show *show, const char *text)
{
    cJSON *item = cJSON_CreateString(text);

    if (item != NULL && cJSON_AddItemToArray(show->tree, item))
        return item->valuestring;
    cJSON_Delete(item);
    return NULL;
}

static mtm_result check_show(const char *name, const mtm_rig *rig, mtm_observer observer,
                             double refresh_hz, mtm_error *error)
{
    if (name == NULL || name[0] == '\0')
        return mtmi_fail(error, MTM_INVALID, "a show needs a name");
    if (mtm_rig_unit_count(rig) == 0)
        return mtmi_fail(error, MTM_INVALID, "a show needs a rig with units");
    if ((unsigned)observer >= MTM_OBSERVER_COUNT)
        return mtmi_fail(error, MTM_INVALID, "the observer is none of those known");
    if (!(refresh_hz >= MTM_FRAME_RATE_MIN && refresh_hz <= MTM_FRAME_RATE_MAX))
        return mtmi_fail(error, MTM_INVALID, "%.10g frames a second; allowed are %.10g to %.10g",
                         refresh_hz, MTM_FRAME_RATE_MIN, MTM_FRAME_RATE_MAX);
    return MTM_OK;
}

mtm_result mtm_show_create(const char *name, const mtm_rig *rig, mtm_observer observer,
                           double refresh_hz, mtm_show **out, mtm_error *error)
{
    double rate_hz = refresh_hz == 0 ? MTMI_SHOW_REFRESH_HZ : refresh_hz;
    mtm_result result = check_show(name, rig, observer, rate_hz, error);

    if (result != MTM_OK)
        return result;
    if (out == NULL)
        return mtmi_fail(error, MTM_INVALID, "a place for the show is needed");
    mtm_show *show = calloc(1, sizeof *show);
    if (show == NULL)
        return mtmi_fail_memory(error);
    show->rig = rig;
    show->observer = observer;
    show->refresh_hz = rate_hz;
    show->made = true;
    show->tree = cJSON_CreateArray();
    if (show->tree == NULL || (show->name = own_text(show, name)) == NULL ||
        mtmi_show_add_given(show, NULL) != MTM_OK) {
        mtm_show_free(show);
        return mtmi_fail_memory(error);
    }
    *out = show;
    return MTM_OK;
}

/* What was read holds colours and groups without names behind those with one: nothing is added. */
static mtm_result check_made(const mtm_show *show, const char *name, mtm_error *error)
{
    if (show == NULL || !show->made)
        return mtmi_fail(error, MTM_INVALID, "a show that mtm_show_create made is needed");
    if (name == NULL || name[0] == '\0')
        return mtmi_fail(error, MTM_INVALID, "a colour or group needs a name");
    return MTM_OK;
}

mtm_result mtm_show_add_colour(mtm_show *show, const char *name, const mtm_target *target,
                               mtm_error *error)
{
    mtm_result result = check_made(show, name, error);

    if (result != MTM_OK)
        return result;
    if (target == NULL || mtmi_check_xy("a colour", target->xy, NULL) != MTM_OK ||
        target->observer != show->observer)
        return mtmi_fail(error, MTM_INVALID,
                         "colour \"%.60s\" needs a target for the show's observer", name);
    for (size_t i = 0; i < show->named_colour_count; i++) {
        if (strcmp(show->colours[i]->name, name) == 0)
            return mtmi_fail(error, MTM_INVALID, "the show has a colour \"%.60s\" already", name);
    }
    if (show->named_colour_count >= MTM_SHOW_COLOURS_MAX)
        return mtmi_fail(error, MTM_LIMIT, "more than %d colours", MTM_SHOW_COLOURS_MAX);
    mtmi_colour **grown = mtmi_grown((void *)show->colours, show->colour_count, &show->colour_room,
                                     sizeof(mtmi_colour *));
    if (grown == NULL)
        return mtmi_fail_memory(error);
    show->colours = grown;
    mtmi_colour *colour = malloc(sizeof *colour);
    if (colour == NULL)
        return mtmi_fail_memory(error);
    *colour = (mtmi_colour){.name = own_text(show, name), .target = *target};
    if (colour->name == NULL) {
        free(colour);
        return mtmi_fail_memory(error);
    }
    show->colours[show->colour_count++] = colour;
    show->named_colour_count = show->colour_count;
    return MTM_OK;
}

static mtm_result check_group(const mtm_show *show, const char *name, const size_t *unit,
                              size_t count, mtm_error *error)
{
    size_t units = mtm_rig_unit_count(show->rig);

    if (mtmi_names_find(show->group_names, show->named_group_count, name) != NULL)
        return mtmi_fail(error, MTM_INVALID, "the show has a group \"%.60s\" already", name);
    if (mtm_rig_find_unit(show->rig, name, &(size_t){0}, NULL) == MTM_OK)
        return mtmi_fail(error, MTM_INVALID,
                         "a unit of the rig has the name \"%.60s\"; a group needs another", name);
    if (show->named_group_count >= MTM_SHOW_GROUPS_MAX)
        return mtmi_fail(error, MTM_LIMIT, "more than %d groups", MTM_SHOW_GROUPS_MAX - 1);
    if (unit == NULL || count < 1 || count > units)
        return mtmi_fail(error, MTM_INVALID, "group \"%.60s\" of %zu units; allowed are 1 to %zu",
                         name, count, units);
    for (size_t i = 0; i < count; i++) {
        if (unit[i] >= units || (i > 0 && unit[i] <= unit[i - 1]))
            return mtmi_fail(error, MTM_INVALID,
                             "group \"%.60s\": unit number %zu; the units of a group rise, below "
                             "%zu",
                             name, unit[i], units);
    }
    return MTM_OK;
}

mtm_result mtm_show_add_group(mtm_show *show, const char *name, const size_t *unit, size_t count,
                              mtm_error *error)
{
    mtm_result result = check_made(show, name, error);

    if (result == MTM_OK)
        result = check_group(show, name, unit, count, error);
    if (result != MTM_OK)
        return result;
    const char *owned = own_text(show, name);
    return owned != NULL ? mtmi_show_add_group(show, owned, unit, count, error)
                         : mtmi_fail_memory(error);
}

static bool has_target(const mtm_show *show, const mtm_target *target)
{
    for (size_t i = 0; i < show->colour_count; i++) {
        if (&show->colours[i]->target == target)
            return true;
    }
    return false;
}

static mtm_result check_setting(const mtm_show *show, const mtm_setting *setting, mtm_error *error)
{
    if (setting->group >= show->group_count)
        return mtmi_fail(error, MTM_INVALID, "the show has no group number %zu", setting->group);
    if (setting->target == NULL && !setting->has_output)
        return mtmi_fail(error, MTM_INVALID, "a colour or an output is wanted");
    if (setting->target != NULL && !has_target(show, setting->target))
        return mtmi_fail(error, MTM_INVALID, "the colour of a setting is none of the show's");
    if ((unsigned)setting->goal > MTM_GOAL_SPECTRUM || (unsigned)setting->path > MTM_PATH_SLOTS ||
        (unsigned)setting->shape > MTM_SHAPE_OWN ||
        (unsigned)setting->dimming > MTM_DIMMING_EMITTERS)
        return mtmi_fail(error, MTM_INVALID, "a goal, path, shape or dimming that does not exist");
    if (!(setting->leave_dark_uv >= 0 && setting->leave_dark_uv <= 1))
        return mtmi_fail(error, MTM_INVALID,
                         "units stay dark from a distance of %.10g; allowed are 0 to 1",
                         setting->leave_dark_uv);
    return setting->has_output ? mtmi_output_check(setting->output, error) : MTM_OK;
}

static mtm_result check_settings(const mtm_show *show, const mtm_setting *setting, size_t count,
                                 mtm_error *error)
{
    if (setting == NULL || count < 1 || count > MTMI_SETTINGS_MAX)
        return mtmi_fail(error, MTM_INVALID, "found %zu settings, allowed are 1 to %d", count,
                         MTMI_SETTINGS_MAX);
    bool *named = calloc(mtm_rig_unit_count(show->rig), sizeof *named);
    if (named == NULL)
        return mtmi_fail_memory(error);
    mtm_result result = MTM_OK;
    for (size_t i = 0; i < count && result == MTM_OK; i++) {
        result = check_setting(show, &setting[i], error);
        if (result != MTM_OK)
            break;
        const mtmi_group *group = &show->groups[setting[i].group];
        for (size_t k = 0; k < group->unit_count && result == MTM_OK; k++) {
            if (named[group->unit[k]])
                result = mtmi_fail(error, MTM_INVALID, "the unit \"%.60s\" is set twice by one cue",
                                   mtm_rig_unit(show->rig, group->unit[k])->name);
            named[group->unit[k]] = true;
        }
    }
    free(named);
    return result;
}

static bool is_time(double seconds)
{
    return seconds >= 0 && seconds <= MTM_SHOW_SECONDS_MAX;
}

static mtm_result check_cue(const mtm_show *show, mtm_cue *cue, mtm_error *error)
{
    if (show->cue_count >= MTM_SHOW_CUES_MAX)
        return mtmi_fail(error, MTM_LIMIT, "more than %d cues", MTM_SHOW_CUES_MAX);
    if (!(cue->number >= MTMI_CUE_MIN && cue->number <= MTMI_CUE_MAX))
        return mtmi_fail(error, MTM_INVALID, "cue %.10g; allowed are %.10g to %.10g", cue->number,
                         MTMI_CUE_MIN, MTMI_CUE_MAX);
    if (!is_time(cue->up_s) || !is_time(cue->down_s) || !is_time(cue->delay_s) ||
        (cue->follow_s != -1 && !is_time(cue->follow_s)))
        return mtmi_fail(
            error, MTM_INVALID,
            "cue %.10g: a time is out of its range; allowed are 0 to %.10g s, and -1 for no "
            "following",
            cue->number, MTM_SHOW_SECONDS_MAX);
    return mtmi_show_cue_number(show, cue, error) == MTM_OK ? MTM_OK : MTM_INVALID;
}

mtm_result mtm_show_add_cue(mtm_show *show, const mtm_cue *cue, const mtm_setting *setting,
                            size_t count, mtm_error *error)
{
    if (show == NULL || !show->made || cue == NULL)
        return mtmi_fail(error, MTM_INVALID,
                         "a show that mtm_show_create made, and a cue, are needed");
    mtmi_cue added = {.cue = *cue, .setting_count = count};
    mtm_result result = check_cue(show, &added.cue, error);
    if (result == MTM_OK)
        result = check_settings(show, setting, count, error);
    if (result != MTM_OK)
        return result;
    mtmi_cue *grown = mtmi_grown(show->cues, show->cue_count, &show->cue_room, sizeof *grown);
    if (grown == NULL)
        return mtmi_fail_memory(error);
    show->cues = grown;
    added.cue.text = cue->text == NULL ? "" : own_text(show, cue->text);
    added.settings = malloc(count * sizeof *added.settings);
    if (added.cue.text == NULL || added.settings == NULL) {
        free(added.settings);
        return mtmi_fail_memory(error);
    }
    memcpy(added.settings, setting, count * sizeof *setting);
    for (size_t i = 0; i < count; i++) { /* a colour takes its goal along */
        added.settings[i].has_goal = setting[i].has_goal || setting[i].target != NULL;
        added.settings[i].has_leave_dark = setting[i].has_leave_dark || setting[i].target != NULL;
        added.settings[i].has_dimming = setting[i].has_dimming || setting[i].target != NULL;
    }
    show->cues[show->cue_count++] = added;
    return MTM_OK;
}
