/* SPDX-License-Identifier: MIT */
/* Reading the colours of a show: every form in which a colour can be stated. */
#include "show/show.h"

#include "colour/rgb_numbers.h"

#include "base/error.h"
#include "base/folder.h"
#include "base/grow.h"
#include "base/name.h"
#include "filter/light.h"
#include "filter/read.h"

#include <metamer/codes.h>
#include <metamer/rgb.h>

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Each holds a spectrum, so this bounds the memory that a show can ask for. */
#define WRITTEN_COLOURS_MAX (4 * MTM_SHOW_COLOURS_MAX)

/* What a form needs to know. */
struct asked {
    const mtmi_node *node; /* the colour */
    mtm_show *show;
    const char *base_dir;
};

static mtm_result read_xy(const struct asked *asked, mtm_target *target, mtm_error *error)
{
    double v[2];
    mtm_result result = mtmi_json_numbers(asked->node, "xy", 2, 0, 1, v, error);

    return result != MTM_OK
               ? result
               : mtm_target_from_xy((mtm_xy){v[0], v[1]}, asked->show->observer, target, error);
}

static mtm_result read_uv(const struct asked *asked, mtm_target *target, mtm_error *error)
{
    double v[2];
    mtm_result result = mtmi_json_numbers(asked->node, "uv", 2, 0, 1, v, error);

    return result != MTM_OK
               ? result
               : mtm_target_from_uv((mtm_uv){v[0], v[1]}, asked->show->observer, target, error);
}

static mtm_result read_xyz(const struct asked *asked, mtm_target *target, mtm_error *error)
{
    double v[3];
    mtm_result result = mtmi_json_numbers(asked->node, "xyz", 3, 0, 1e9, v, error);

    if (result != MTM_OK)
        return result;
    return mtm_target_from_xyz((mtm_xyz){v[0], v[1], v[2]}, asked->show->observer, target, error);
}

static mtm_result read_cct(const struct asked *asked, mtm_target *target, mtm_error *error)
{
    mtm_white white = {0, 0};
    mtmi_node duv;
    mtm_result result =
        mtmi_json_number(asked->node, "cct_k", MTM_CCT_MIN_K, MTM_CCT_MAX_K, &white.cct_k, error);

    if (result == MTM_OK && mtmi_json_child(asked->node, "duv", &duv))
        result = mtmi_json_as_number(&duv, -MTM_DUV_MAX, MTM_DUV_MAX, &white.duv, error);
    if (result != MTM_OK)
        return result;
    return mtm_target_from_white(white, asked->show->observer, target, error);
}

static mtm_result read_daylight(const struct asked *asked, mtm_target *target, mtm_error *error)
{
    double cct_k = 0;
    mtm_result result = mtmi_json_number(asked->node, "daylight_k", MTM_DAYLIGHT_MIN_K,
                                         MTM_CCT_MAX_K, &cct_k, error);

    return result != MTM_OK ? result
                            : mtm_target_from_daylight(cct_k, asked->show->observer, target, error);
}

static mtm_result read_rgb(const struct asked *asked, mtm_target *target, mtm_error *error)
{
    double v[3] = {0};
    const char *name = "srgb";
    mtmi_node space;
    mtm_result result = mtmi_json_numbers(asked->node, "rgb", 3, 0, 255, v, error);
    double full = mtmi_rgb_full(v);

    if (result == MTM_OK && mtmi_json_child(asked->node, "space", &space))
        result = mtmi_json_as_string(&space, &name, error);
    if (result != MTM_OK)
        return result;
    return mtm_target_from_rgb((mtm_rgb){v[0] / full, v[1] / full, v[2] / full}, name,
                               asked->show->observer, target, error);
}

static mtm_result read_spectrum(const struct asked *asked, mtm_target *target, mtm_error *error)
{
    const char *name = NULL;
    char *path = NULL;
    mtm_spectrum spectrum;
    mtm_result result = mtmi_json_string(asked->node, "spectrum", &name, error);

    if (result != MTM_OK)
        return result;
    result = mtmi_find_file(asked->base_dir, name, &path, error);
    if (result != MTM_OK)
        return result;
    result = mtm_spectrum_load(path, MTM_ENDS_ZERO, &spectrum, error);
    if (result == MTM_OK)
        result = mtm_target_from_spectrum(&spectrum, name, asked->show->observer, target, error);
    free(path);
    return result;
}

/* The delivered filters, loaded by the first colour that names one. */
static mtm_result read_filter(const struct asked *asked, mtm_target *target, mtm_error *error)
{
    const char *name = NULL;
    const char *over = NULL;
    mtm_filter filter;
    mtm_light light;
    mtm_result result = mtmi_json_string(asked->node, "filter", &name, error);

    if (result == MTM_OK)
        result = mtmi_json_string(asked->node, "over", &over, error);
    if (result == MTM_OK && asked->show->filters == NULL)
        result = mtm_filters_load(NULL, &asked->show->filters, error);
    if (result == MTM_OK)
        result = mtmi_filters_find(asked->show->filters, name, asked->base_dir, &filter, error);
    if (result == MTM_OK)
        result = mtmi_light_from_text(over, asked->base_dir, &light, error);
    if (result != MTM_OK)
        return result;
    return mtm_target_from_filter(&filter, &light, asked->show->observer, target, error);
}

/* The values of "codes", "slots" or "percent": one of them is wanted. */
static mtm_result read_codes(const struct asked *asked, const mtm_unit *unit, mtm_codes *codes,
                             mtm_error *error)
{
    static const char *const keys[] = {"codes", "slots", "percent"}; /* as mtm_value_kind */
    const char *found = NULL;
    mtm_value_kind kind = MTM_VALUES_CODES;
    double value[MTM_ADDRESS_MAX];
    mtmi_node list;
    size_t count = 0;

    for (size_t i = 0; i < sizeof keys / sizeof keys[0]; i++) {
        if (!mtmi_json_child(asked->node, keys[i], &list))
            continue;
        if (found != NULL)
            return mtmi_json_fail(asked->node, error,
                                  "\"%s\" and \"%s\" both state values; one of them is wanted",
                                  found, keys[i]);
        found = keys[i];
        kind = (mtm_value_kind)i;
    }
    if (found == NULL)
        return mtmi_json_fail(asked->node, error,
                              "\"like\" goes with \"codes\", \"slots\" or \"percent\"");
    mtm_result result =
        mtmi_json_array(asked->node, found, 1, MTM_ADDRESS_MAX, &list, &count, error);
    if (result == MTM_OK)
        result = mtmi_json_as_numbers(&list, 0, 65535, value, error);
    if (result != MTM_OK)
        return result;
    mtm_error inner = {""};
    result = mtm_codes_from_values(unit->fixture, unit->mode, kind, value, count, codes, &inner);
    return result == MTM_OK ? MTM_OK : mtmi_json_fail(&list, error, "%.300s", inner.text);
}

static mtm_result read_like(const struct asked *asked, mtm_target *target, mtm_error *error)
{
    const char *name = NULL;
    mtm_codes codes = {0};
    size_t index = 0;
    mtm_result result = mtmi_json_string(asked->node, "like", &name, error);

    if (result == MTM_OK)
        result = mtm_rig_find_unit(asked->show->rig, name, &index, error);
    if (result != MTM_OK)
        return result;
    const mtm_unit *unit = mtm_rig_unit(asked->show->rig, index);
    result = read_codes(asked, unit, &codes, error);
    if (result != MTM_OK)
        return result;
    return mtm_target_from_unit(unit, &codes, asked->show->observer, target, error);
}

/* The forms: the key that tells one from another, keys that may stand beside it, the reader. */
#define BESIDE_MAX 3
static const struct form {
    const char *key, *beside[BESIDE_MAX];
    mtm_result (*read)(const struct asked *asked, mtm_target *target, mtm_error *error);
} forms[] = {
    {"xy", {NULL}, read_xy},
    {"uv", {NULL}, read_uv},
    {"xyz", {NULL}, read_xyz},
    {"cct_k", {"duv"}, read_cct},
    {"daylight_k", {NULL}, read_daylight},
    {"rgb", {"space"}, read_rgb},
    {"spectrum", {NULL}, read_spectrum},
    {"filter", {"over"}, read_filter},
    {"like", {"codes", "slots", "percent"}, read_like},
};

#define FORM_COUNT (sizeof forms / sizeof forms[0])
#define FORM_NAMES                                                                                 \
    "\"xy\", \"uv\", \"xyz\", \"cct_k\", \"daylight_k\", \"rgb\", \"spectrum\", \"filter\", "      \
    "\"like\""

static mtm_result check_keys(const mtmi_node *node, mtm_error *error)
{
    const char *keys[(1 + BESIDE_MAX) * FORM_COUNT + 2];
    size_t count = 0;

    for (size_t i = 0; i < FORM_COUNT; i++) {
        keys[count++] = forms[i].key;
        for (size_t k = 0; k < BESIDE_MAX && forms[i].beside[k] != NULL; k++)
            keys[count++] = forms[i].beside[k];
    }
    keys[count++] = "note";
    keys[count] = NULL;
    return mtmi_json_keys(node, keys, error);
}

static mtm_result find_form(const mtmi_node *node, const struct form **found, mtm_error *error)
{
    const struct form *form = NULL;
    mtmi_node child;

    for (size_t i = 0; i < FORM_COUNT; i++) {
        if (!mtmi_json_child(node, forms[i].key, &child))
            continue;
        if (form != NULL)
            return mtmi_json_fail(node, error,
                                  "\"%s\" and \"%s\" both state a colour; one of them is wanted",
                                  form->key, forms[i].key);
        form = &forms[i];
    }
    if (form == NULL)
        return mtmi_json_fail(node, error, "no colour is stated; one of these is wanted: %s",
                              FORM_NAMES);
    for (size_t i = 0; i < FORM_COUNT * BESIDE_MAX; i++) {
        const struct form *other = &forms[i / BESIDE_MAX];
        const char *beside = other->beside[i % BESIDE_MAX];

        if (other != form && beside != NULL && mtmi_json_child(node, beside, &child))
            return mtmi_json_fail(node, error, "\"%s\" goes with \"%s\", not with \"%s\"", beside,
                                  other->key, form->key);
    }
    *found = form;
    return MTM_OK;
}

mtm_result mtmi_read_target(const mtmi_node *node, mtm_show *show, const char *base_dir,
                            mtm_target *target, mtm_error *error)
{
    const struct asked asked = {node, show, base_dir};
    const struct form *form = NULL;
    mtm_error inner = {""};
    mtm_result result = check_keys(node, error);

    if (result == MTM_OK)
        result = find_form(node, &form, error);
    if (result != MTM_OK || form == NULL)
        return result;
    result = form->read(&asked, target, &inner);
    if (result == MTM_OK)
        return MTM_OK;
    /* Sentences that name the file already stay as they are. */
    if (strncmp(inner.text, node->file, strlen(node->file)) == 0)
        return mtmi_fail(error, result, "%s", inner.text);
    return mtmi_json_fail_as(node, result, &inner, error);
}

/* Makes room for one more colour at the end. node is where it stands. */
static mtm_result add_colour(const mtmi_node *node, mtm_show *show, mtmi_colour **added,
                             mtm_error *error)
{
    if (show->colour_count >= WRITTEN_COLOURS_MAX)
        return mtmi_json_fail(node, error, "more than %d colours are written out; give them names",
                              WRITTEN_COLOURS_MAX);
    mtmi_colour **grown = mtmi_grown((void *)show->colours, show->colour_count, &show->colour_room,
                                     sizeof(mtmi_colour *));
    if (grown == NULL)
        return mtmi_fail_memory(error);
    show->colours = grown;
    mtmi_colour *colour = calloc(1, sizeof *colour);
    if (colour == NULL)
        return mtmi_fail_memory(error);
    show->colours[show->colour_count++] = colour;
    *added = colour;
    return MTM_OK;
}

mtm_result mtmi_read_colours(const mtmi_node *root, const char *base_dir, mtm_show *show,
                             mtm_error *error)
{
    mtmi_node list;
    mtmi_node node;

    if (!mtmi_json_child(root, "colours", &list))
        return MTM_OK;
    if (!cJSON_IsObject(list.item))
        return mtmi_json_fail(&list, error, "found %s, wanted is an object of colours by name",
                              mtmi_json_type(list.item));
    for (bool more = mtmi_json_first(&list, &node); more; more = mtmi_json_next(&node)) {
        mtmi_colour *colour = NULL;

        if (show->colour_count >= MTM_SHOW_COLOURS_MAX)
            return mtmi_json_fail(&list, error, "more than %d colours", MTM_SHOW_COLOURS_MAX);
        if (node.key[0] == '\0')
            return mtmi_json_fail(&node, error, "a colour's name is empty");
        mtm_result result = add_colour(&node, show, &colour, error);
        if (result != MTM_OK || colour == NULL)
            return result;
        colour->name = node.key;
        result = mtmi_read_target(&node, show, base_dir, &colour->target, error);
        if (result != MTM_OK)
            return result;
    }
    show->named_colour_count = show->colour_count;
    return MTM_OK;
}

static const char *colour_name_at(const void *list, size_t index)
{
    const mtm_show *show = list;

    return index < show->named_colour_count ? show->colours[index]->name : NULL;
}

static mtm_result find_colour(const mtmi_node *node, const mtm_show *show,
                              const mtm_target **target, mtm_error *error)
{
    const char *name = NULL;
    mtm_result result = mtmi_json_as_string(node, &name, error);

    if (result != MTM_OK)
        return result;
    for (size_t i = 0; i < show->named_colour_count; i++) {
        if (strcmp(show->colours[i]->name, name) == 0) {
            *target = &show->colours[i]->target;
            return MTM_OK;
        }
    }
    const char *nearest = mtmi_name_nearest(name, show, colour_name_at);
    (void)mtmi_json_fail(node, error, "there is no colour \"%.60s\"%s%.60s%s", name,
                         nearest != NULL ? "; the nearest is \"" : " in \"colours\"",
                         nearest != NULL ? nearest : "", nearest != NULL ? "\"" : "");
    return MTM_NOT_FOUND;
}

mtm_result mtmi_read_colour_of(const mtmi_node *node, const char *base_dir, mtm_show *show,
                               const mtm_target **target, mtm_error *error)
{
    mtmi_colour *colour = NULL;

    if (cJSON_IsString(node->item))
        return find_colour(node, show, target, error);
    if (!cJSON_IsObject(node->item))
        return mtmi_json_fail(node, error,
                              "found %s, wanted is the name of a colour, or a colour as in "
                              "{ \"cct_k\": 3200 }",
                              mtmi_json_type(node->item));
    mtm_result result = add_colour(node, show, &colour, error);
    if (result == MTM_OK && colour != NULL)
        result = mtmi_read_target(node, show, base_dir, &colour->target, error);
    if (result == MTM_OK)
        *target = &colour->target;
    return result;
}
