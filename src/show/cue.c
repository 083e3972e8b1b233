/* SPDX-License-Identifier: MIT */
/* Reading the cues of a show. */
#include "show/show.h"

#include "base/error.h"
#include "base/name.h"
#include "solve/output.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* What a setting takes from its cue where it does not say itself. */
struct defaults {
    mtm_path_type path;
    mtm_shape_type shape;
    mtm_goal goal;
    bool goal_stated; /* by the cue or the setting itself */
    double leave_dark_uv;
    bool leave_dark_stated; /* too */
    mtm_dimming dimming;
    bool dimming_stated; /* too */
};

/* While reading cues. */
struct reading {
    mtm_show *show;
    const char *base_dir;
    size_t *named;   /* by unit: number of the cue (from 1) that named it last */
    size_t *setting; /* by unit: in which of its settings */
};

/* A name of a table. */
static mtm_result read_choice(const mtmi_node *node, mtmi_name_at name_at, size_t *found,
                              mtm_error *error)
{
    char list[200];
    const char *text = NULL;
    mtm_result result = mtmi_json_as_string(node, &text, error);

    if (result != MTM_OK)
        return result;
    *found = mtmi_name_find(text, NULL, name_at);
    if (*found != SIZE_MAX)
        return MTM_OK;
    return mtmi_json_fail(node, error, "found \"%.60s\", allowed are: %s", text,
                          mtmi_name_all(NULL, name_at, list, sizeof list));
}

static const char *path_name_at(const void *list, size_t index)
{
    (void)list;
    return index < mtm_path_type_count() ? mtm_path_type_at(index)->name : NULL;
}

static const char *shape_name_at(const void *list, size_t index)
{
    (void)list;
    return index < mtm_shape_type_count() ? mtm_shape_type_at(index)->name : NULL;
}

static const char *goal_name_at(const void *list, size_t index)
{
    (void)list;
    return index < mtm_goal_count() ? mtm_goal_at(index)->name : NULL;
}

static const char *dimming_name_at(const void *list, size_t index)
{
    (void)list;
    return index < mtm_dimming_count() ? mtm_dimming_at(index)->name : NULL;
}

static mtm_result read_defaults(const mtmi_node *node, struct defaults *defaults, mtm_error *error)
{
    mtmi_node child;
    size_t index = 0;
    mtm_result result = MTM_OK;

    if (mtmi_json_child(node, "path", &child)) {
        result = read_choice(&child, path_name_at, &index, error);
        if (result == MTM_OK)
            defaults->path = (mtm_path_type)index;
    }
    if (result == MTM_OK && mtmi_json_child(node, "curve", &child)) {
        result = read_choice(&child, shape_name_at, &index, error);
        if (result == MTM_OK)
            defaults->shape = (mtm_shape_type)index;
    }
    if (result == MTM_OK && mtmi_json_child(node, "goal", &child)) {
        result = read_choice(&child, goal_name_at, &index, error);
        if (result == MTM_OK)
            defaults->goal = (mtm_goal)index;
        defaults->goal_stated = true;
    }
    if (result == MTM_OK && mtmi_json_child(node, "leave_dark_uv", &child)) {
        result = mtmi_json_as_number(&child, 0, 1, &defaults->leave_dark_uv, error);
        defaults->leave_dark_stated = true;
    }
    if (result == MTM_OK && mtmi_json_child(node, "dimming", &child)) {
        result = read_choice(&child, dimming_name_at, &index, error);
        if (result == MTM_OK)
            defaults->dimming = (mtm_dimming)index;
        defaults->dimming_stated = true;
    }
    return result;
}

/* A share of the most from 0 to 1, or what the command line takes: "60%", "1200lm", "max". */
static mtm_result read_share(const mtmi_node *node, mtm_output *output, mtm_error *error)
{
    const char *text = NULL;
    double value = 0;

    if (!cJSON_IsString(node->item)) {
        mtm_result result = mtmi_json_as_number(node, 0, 1, &value, error);
        if (result == MTM_OK)
            *output = (mtm_output){MTM_OUTPUT_SHARE, value};
        return result;
    }
    mtm_result result = mtmi_json_as_string(node, &text, error);
    if (result == MTM_OK && !mtmi_output_read(text, output))
        return mtmi_json_fail(node, error, "found \"%.60s\", allowed are 0 to 1, %s", text,
                              MTMI_OUTPUT_FORMS);
    return result;
}

static mtm_result read_output(const mtmi_node *node, mtm_setting *setting, mtm_error *error)
{
    mtmi_node share;
    mtmi_node lumens;
    bool has_share = mtmi_json_child(node, "output", &share);
    bool has_lumens = mtmi_json_child(node, "output_lm", &lumens);
    double value = 0;

    if (has_share && has_lumens)
        return mtmi_json_fail(node, error,
                              "\"output\" and \"output_lm\" both state how bright; one is wanted");
    if (!has_share && !has_lumens)
        return MTM_OK;
    setting->has_output = true;
    if (has_share)
        return read_share(&share, &setting->output, error);
    mtm_result result = mtmi_json_as_number(&lumens, 0, 1e9, &value, error);
    setting->output = (mtm_output){MTM_OUTPUT_LM, value};
    return result;
}

/* Refuses a unit that two settings of one cue name. */
static mtm_result mark_units(const mtmi_node *node, struct reading *reading, const mtmi_cue *cue,
                             const mtm_setting *setting, mtm_error *error)
{
    const mtmi_group *group = &reading->show->groups[setting->group];
    size_t serial = (size_t)(cue - reading->show->cues) + 1;
    size_t at = (size_t)(setting - cue->settings);

    for (size_t i = 0; i < group->unit_count; i++) {
        size_t unit = group->unit[i];

        if (reading->named[unit] == serial)
            return mtmi_json_fail(
                node, error, "the unit \"%.60s\" is set by set[%zu] of this cue already",
                mtm_rig_unit(reading->show->rig, unit)->name, reading->setting[unit]);
        reading->named[unit] = serial;
        reading->setting[unit] = at;
    }
    return MTM_OK;
}

static mtm_result read_setting(const mtmi_node *node, struct reading *reading,
                               const struct defaults *of_cue, mtm_setting *setting,
                               mtm_error *error)
{
    static const char *const keys[] = {"group",     "unit", "units", "colour", "output",
                                       "output_lm", "path", "curve", "goal",   "leave_dark_uv",
                                       "dimming",   "note", NULL};
    struct defaults defaults = *of_cue;
    mtmi_node colour;
    mtm_result result = mtmi_json_keys(node, keys, error);

    if (result == MTM_OK)
        result = mtmi_read_group_of(node, reading->show, &setting->group, error);
    if (result == MTM_OK && mtmi_json_child(node, "colour", &colour))
        result =
            mtmi_read_colour_of(&colour, reading->base_dir, reading->show, &setting->target, error);
    if (result == MTM_OK)
        result = read_output(node, setting, error);
    if (result == MTM_OK)
        result = read_defaults(node, &defaults, error);
    if (result != MTM_OK)
        return result;
    if (setting->target == NULL && !setting->has_output)
        return mtmi_json_fail(node, error, "a \"colour\" or an \"output\" is wanted");
    setting->path = defaults.path;
    setting->shape = defaults.shape;
    setting->goal = defaults.goal;
    setting->has_goal = setting->target != NULL || defaults.goal_stated;
    setting->leave_dark_uv = defaults.leave_dark_uv;
    setting->has_leave_dark = setting->target != NULL || defaults.leave_dark_stated;
    setting->dimming = defaults.dimming;
    setting->has_dimming = setting->target != NULL || defaults.dimming_stated;
    return MTM_OK;
}

static mtm_result read_settings(const mtmi_node *node, struct reading *reading, mtmi_cue *cue,
                                const struct defaults *defaults, mtm_error *error)
{
    mtmi_node list;
    mtmi_node child;
    size_t count = 0;
    mtm_result result = mtmi_json_array(node, "set", 1, MTMI_SETTINGS_MAX, &list, &count, error);

    if (result != MTM_OK)
        return result;
    cue->settings = calloc(count, sizeof *cue->settings);
    if (cue->settings == NULL)
        return mtmi_fail_memory(error);
    for (bool more = mtmi_json_first(&list, &child); more; more = mtmi_json_next(&child)) {
        mtm_setting *setting = &cue->settings[cue->setting_count];

        result = read_setting(&child, reading, defaults, setting, error);
        if (result == MTM_OK)
            result = mark_units(&child, reading, cue, setting, error);
        if (result != MTM_OK)
            return result;
        cue->setting_count++;
    }
    return MTM_OK;
}

mtm_result mtmi_show_cue_number(const mtm_show *show, mtm_cue *cue, mtm_error *error)
{
    if (fabs(cue->number * 10 - round(cue->number * 10)) > 1e-6)
        return mtmi_fail(error, MTM_PARSE, "found %g, allowed are whole numbers and tenths",
                         cue->number);
    cue->number = round(cue->number * 10) / 10;
    if (show->cue_count == 0)
        return MTM_OK;
    double before = show->cues[show->cue_count - 1].cue.number;
    if (cue->number == before)
        return mtmi_fail(error, MTM_PARSE, "cue %g is there already", cue->number);
    if (cue->number < before)
        return mtmi_fail(error, MTM_PARSE, "cue %g stands after cue %g; cues stand in order",
                         cue->number, before);
    return MTM_OK;
}

static mtm_result read_number(const mtmi_node *node, const mtm_show *show, mtm_cue *cue,
                              mtm_error *error)
{
    mtmi_node child;
    mtm_error inner = {""};
    mtm_result result =
        mtmi_json_number(node, "number", MTMI_CUE_MIN, MTMI_CUE_MAX, &cue->number, error);

    if (result != MTM_OK || !mtmi_json_child(node, "number", &child))
        return result;
    if (mtmi_show_cue_number(show, cue, &inner) != MTM_OK)
        return mtmi_json_fail(&child, error, "%s", inner.text);
    return MTM_OK;
}

static mtm_result read_seconds(const mtmi_node *node, const char *key, double *seconds,
                               mtm_error *error)
{
    return mtmi_json_optional_number(node, key, 0, MTM_SHOW_SECONDS_MAX, seconds, error);
}

static mtm_result read_times(const mtmi_node *node, mtm_cue *cue, mtm_error *error)
{
    mtm_result result = mtmi_json_number(node, "up_s", 0, MTM_SHOW_SECONDS_MAX, &cue->up_s, error);

    cue->down_s = cue->up_s;
    cue->follow_s = -1;
    if (result == MTM_OK)
        result = read_seconds(node, "down_s", &cue->down_s, error);
    if (result == MTM_OK)
        result = read_seconds(node, "delay_s", &cue->delay_s, error);
    if (result == MTM_OK)
        result = read_seconds(node, "follow_s", &cue->follow_s, error);
    return result;
}

static mtm_result read_cue(const mtmi_node *node, struct reading *reading, mtmi_cue *cue,
                           const struct defaults *of_show, mtm_error *error)
{
    static const char *const keys[] = {"number",   "text", "up_s",  "down_s", "delay_s",
                                       "follow_s", "path", "curve", "goal",   "leave_dark_uv",
                                       "dimming",  "set",  "note",  NULL};
    struct defaults defaults = *of_show;
    mtmi_node text;
    mtm_result result = mtmi_json_keys(node, keys, error);

    cue->cue.text = "";
    if (result == MTM_OK)
        result = read_number(node, reading->show, &cue->cue, error);
    if (result == MTM_OK && mtmi_json_child(node, "text", &text))
        result = mtmi_json_as_string(&text, &cue->cue.text, error);
    if (result == MTM_OK)
        result = read_times(node, &cue->cue, error);
    if (result == MTM_OK)
        result = read_defaults(node, &defaults, error);
    if (result == MTM_OK)
        result = read_settings(node, reading, cue, &defaults, error);
    return result;
}

static mtm_result read_list(const mtmi_node *root, struct reading *reading, mtm_error *error)
{
    mtm_show *show = reading->show;
    struct defaults defaults = {.path = MTM_PATH_LIGHT};
    mtmi_node list;
    mtmi_node node;
    size_t count = 0;
    mtm_result result = read_defaults(root, &defaults, error);

    defaults.goal_stated = false; /* what the show says of them goes with colours */
    defaults.leave_dark_stated = false;
    defaults.dimming_stated = false;
    if (result == MTM_OK)
        result = mtmi_json_array(root, "cues", 1, MTM_SHOW_CUES_MAX, &list, &count, error);
    if (result != MTM_OK)
        return result;
    show->cues = calloc(count, sizeof *show->cues);
    if (show->cues == NULL)
        return mtmi_fail_memory(error);
    for (bool more = mtmi_json_first(&list, &node); more; more = mtmi_json_next(&node)) {
        mtmi_cue *cue = &show->cues[show->cue_count];

        result = read_cue(&node, reading, cue, &defaults, error);
        if (result != MTM_OK) {
            free(cue->settings);
            return result;
        }
        show->cue_count++;
    }
    return MTM_OK;
}

mtm_result mtmi_read_cues(const mtmi_node *root, const char *base_dir, mtm_show *show,
                          mtm_error *error)
{
    size_t room = mtm_rig_unit_count(show->rig) + 1;
    struct reading reading = {
        .show = show,
        .base_dir = base_dir,
        .named = calloc(room, sizeof *reading.named),
        .setting = calloc(room, sizeof *reading.setting),
    };
    mtm_result result = reading.named == NULL || reading.setting == NULL
                            ? mtmi_fail_memory(error)
                            : read_list(root, &reading, error);

    free(reading.named);
    free(reading.setting);
    return result;
}
