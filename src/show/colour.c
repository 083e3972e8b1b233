/* SPDX-License-Identifier: MIT */
/* Reading the colours of a show: those that have names, and those that stand inside a cue. */
#include "show/show.h"

#include "base/error.h"
#include "base/grow.h"
#include "base/name.h"
#include "target/json.h"

#include <stdlib.h>
#include <string.h>

/* Each holds a spectrum, so this bounds the memory that a show can ask for. */
#define WRITTEN_COLOURS_MAX (4 * MTM_SHOW_COLOURS_MAX)

static mtm_result read_target(const mtmi_node *node, mtm_show *show, const char *base_dir,
                              mtm_target *target, mtm_error *error)
{
    struct mtmi_target_place place = {.observer = show->observer,
                                      .rig = show->rig,
                                      .base_dir = base_dir,
                                      .filters = show->filters};
    mtm_result result = mtmi_target_from_json(node, &place, target, error);

    show->filters = place.filters;
    return result;
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
        result = read_target(&node, show, base_dir, &colour->target, error);
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
    size_t found = mtmi_name_find(name, show, colour_name_at);
    if (found != SIZE_MAX) {
        *target = &show->colours[found]->target;
        return MTM_OK;
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
        result = read_target(node, show, base_dir, &colour->target, error);
    if (result == MTM_OK)
        *target = &colour->target;
    return result;
}
